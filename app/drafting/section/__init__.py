"""A section through one part."""
