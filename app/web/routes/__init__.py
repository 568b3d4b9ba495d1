"""Routes, grouped by screen."""
