"""Drawings of a resolved board as scenes."""
