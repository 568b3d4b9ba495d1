"""What placements bring to a board, as arrays, and what is near what."""
