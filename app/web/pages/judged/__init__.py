"""The page of what was judged."""
