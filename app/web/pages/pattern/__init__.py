"""The page of a pattern of holes."""
