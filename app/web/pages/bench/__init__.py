"""The bench: lists of a board, each as a page."""
