"""Edits: document in, document out."""
