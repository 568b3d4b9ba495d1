"""Frozen values the whole program reasons about; invariants checked on construction."""
