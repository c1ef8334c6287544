"""Background work of publishing."""

from procrastinate.contrib.django import app

from playbook.publishing import services


@app.task(name="make_publication")
def make_publication(pk: int) -> None:
    """Makes a publication and then its drawings; may run again after a worker's death."""
    services.make(pk)
    services.draw_all(pk)
