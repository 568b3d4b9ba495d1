"""Edits of stations: what one player's hands use, laid out by parameters."""
