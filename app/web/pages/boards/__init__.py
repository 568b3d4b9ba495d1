"""The page of the boards of a design."""
