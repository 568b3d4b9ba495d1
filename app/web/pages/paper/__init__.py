"""The paper page."""
