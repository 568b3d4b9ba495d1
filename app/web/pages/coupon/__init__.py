"""Coupon: trial cuts in scrap, and what came of them."""
