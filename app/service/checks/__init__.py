"""A design resolved and judged, and what is told of it."""
