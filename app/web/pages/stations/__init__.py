"""The stations page."""
