"""Scouting: from charted snaps to tendencies, the looks to expect, and the plan proven against them."""
