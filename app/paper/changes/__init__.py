"""What changed between two states: drawings over each other, and tables."""
