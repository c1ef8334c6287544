"""Tendencies: snaps counted, tells, plots."""
