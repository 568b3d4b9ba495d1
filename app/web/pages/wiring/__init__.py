"""The page of wiring."""
