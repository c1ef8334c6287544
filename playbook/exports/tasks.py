"""The job that makes a document."""

from __future__ import annotations

from procrastinate.contrib.django import app

from playbook.exports import making


@app.task(name="make_export")
def make_export(export_id: int) -> None:
    """Makes the document; may run again after a worker's death."""
    making.make(export_id)
