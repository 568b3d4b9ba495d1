"""Sheets of paper: tiling and page composition."""
