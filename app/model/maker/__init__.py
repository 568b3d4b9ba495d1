"""What makers ask: their measures, and the values that were asked for."""
