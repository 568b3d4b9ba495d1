"""Estimates of strength for choosing a depth: plates in bending, ring shear, ledges, the whole deck.

Elementary formulas for flat, thin, isotropic plates. Nothing here is a structural approval.
"""
