"""One module per rule."""
