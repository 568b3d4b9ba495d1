"""The page of marking out an outline."""
