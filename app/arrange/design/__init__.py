"""Edits of what belongs to the whole design, and of its report."""
