"""Typed tables for the bench."""
