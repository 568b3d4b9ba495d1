"""What screens show of a board, measured and put into words, as typed values."""
