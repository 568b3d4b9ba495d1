"""At the board: the drilling run one step at a time, on a phone."""
