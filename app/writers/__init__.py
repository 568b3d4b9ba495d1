"""Scenes to files: SVG, PDF, DXF, listing."""
