"""Background work of charts."""

from procrastinate.contrib.django import app

from playbook.charts import services


@app.task(name="read_chart")
def read_chart(pk: int) -> None:
    """Reads a charted file into snaps."""
    services.read_chart(pk)
