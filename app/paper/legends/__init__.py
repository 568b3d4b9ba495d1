"""Sheets of legends: a table, pages to print and cut, and what a plotter cuts."""
