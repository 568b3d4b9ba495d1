"""Bringing boards, arrangements and cut-outs of one design to another: made anew or in place of what came before."""
