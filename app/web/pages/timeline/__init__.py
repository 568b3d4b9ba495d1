"""The timeline of a design."""
