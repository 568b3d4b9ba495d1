"""Designs and their revisions in a database."""
