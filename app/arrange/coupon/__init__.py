"""Edits of what came of a coupon."""
