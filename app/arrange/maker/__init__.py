"""Makers: boards, and cut-outs on boards, made from a handful of measures and editable as what they are."""
