"""The pages of makers: boards, and cut-outs on boards, from a few measures."""
