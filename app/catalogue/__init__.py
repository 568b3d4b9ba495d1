"""Published and measured facts, every row with its source."""
