"""The printer page."""
