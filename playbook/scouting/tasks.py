"""Scouting's background work."""

from procrastinate.contrib.django import app

from playbook.scouting import charts


@app.task(name="read_chart")
def read_chart(pk: int) -> None:
    """Reads a charted file into snaps."""
    charts.read_chart(pk)
