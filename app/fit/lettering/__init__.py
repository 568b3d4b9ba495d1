"""Legends on a board: their ink, where they stand, and how near they come to what is there."""
