"""Sheets of a template: how they are tiled, joined and composed."""
