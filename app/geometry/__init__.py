"""Plane geometry in millimetres: outlines, shapes, clearances."""
