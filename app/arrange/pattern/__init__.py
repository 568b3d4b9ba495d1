"""Edits of patterns of holes."""
