"""Drawings for other programs."""
