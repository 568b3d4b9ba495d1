"""Typed tables for the bench: which bit makes what, and what a board asks for."""
