"""Edits of the board itself: its shape, what it is made of, what is below it."""
