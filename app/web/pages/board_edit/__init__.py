"""The page on which the board itself is changed."""
