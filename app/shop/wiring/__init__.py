"""Wiring: what is joined, by which wire, where it runs, and what is cut, crimped and tied for it."""
