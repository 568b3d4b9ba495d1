"""Edits of what was drilled."""
