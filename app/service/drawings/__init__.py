"""Drawings, sheets and files of a board, each proved before anybody gets it."""
