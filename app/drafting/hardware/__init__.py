"""Hardware drawn: from above, from the front, and what holds it."""
