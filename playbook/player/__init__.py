"""A player's own week: one card for every look, the rules behind it, a quiz, and what to correct."""
