"""The page of an outline from a file."""
