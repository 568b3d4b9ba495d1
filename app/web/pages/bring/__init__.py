"""The page on which things of a design are brought to others."""
