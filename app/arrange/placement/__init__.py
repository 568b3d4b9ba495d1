"""Edits of placements: one or several, and how each sits in the board."""
