"""The page of one part."""
