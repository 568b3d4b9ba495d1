"""Sheets that mark out an outline: what to measure, tables of offsets, and the curves at true size."""
