"""The page of making room."""
