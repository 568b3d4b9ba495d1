"""Edits of a design's own hardware: its measures, and how far to trust them."""
