"""The cover sheet."""
