"""Background work of the proof."""

from datetime import timedelta

from django.utils import timezone
from procrastinate.contrib.django import app

from playbook.models import LookResult
from playbook.proof import studies

KEPT_DAYS = 30


@app.task(name="work_on_study")
def work_on_study(pk: int) -> None:
    """Does parts of a study until none is left."""
    studies.work_on_study(pk)


@app.periodic(cron="17 3 * * *")
@app.task(queueing_lock="forget_old_results", name="forget_old_results")
def forget_old_results(timestamp: int) -> None:
    """Deletes stored results older than a month; a look that is still asked for is derived again."""
    LookResult.objects.filter(made_at__lt=timezone.now() - timedelta(days=KEPT_DAYS)).delete()
