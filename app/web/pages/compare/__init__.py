"""The fit report of a whole design."""
