"""Designs compared: what is different between two of them, as a builder says it, and what the rules gained or lost."""
