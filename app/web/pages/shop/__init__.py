"""The shop page."""
