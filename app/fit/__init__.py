"""Rules that judge whether a board can be built as drawn."""
