"""Holewise: lay out, prove and print the drilled boards of a home-built cabinet."""

__version__ = "0.2.0"
