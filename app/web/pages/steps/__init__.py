"""The page of the steps of building."""
