"""Proof: the looks to expect, the plan proven against them, repairs, studies."""
