"""The published revisions of a design."""
