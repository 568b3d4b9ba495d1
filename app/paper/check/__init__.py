"""The check sheet, and what the print doctor makes of it."""
