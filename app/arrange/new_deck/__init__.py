"""A new deck from a few answers."""
