"""Forgets what is older than the staff wants to keep: a job of every night."""

from __future__ import annotations

from datetime import timedelta

from axes.models import AccessAttempt, AccessLog
from django.db import transaction
from django.utils import timezone

from playbook.installation.queries import installation
from playbook.models import AccessEntry, ApiToken, FitGrade, SentForm, Session

FORMS_FOR = timedelta(days=2)


@transaction.atomic
def forget_old() -> dict[str, int]:
    """Returns how many rows of each kind were forgotten. Of old grades their history goes as well."""
    row, now = installation(), timezone.now()
    old = now - timedelta(days=row.log_days)
    gone = {
        "log": AccessEntry.objects.filter(at__lt=old).delete()[0],
        "tries": AccessAttempt.objects.filter(attempt_time__lt=old).delete()[0]
        + AccessLog.objects.filter(attempt_time__lt=old).delete()[0],
        "sessions": Session.objects.filter(expire_date__lt=now).delete()[0],
        "tokens": ApiToken.objects.filter(expires_at__lt=now).delete()[0],
        "forms": SentForm.objects.filter(at__lt=now - FORMS_FOR).delete()[0],
        "grades": 0,
    }
    if row.grade_years:
        grades = FitGrade.objects.filter(week__season__year__lt=timezone.localdate().year - row.grade_years)
        numbers = list(grades.values_list("pk", flat=True))
        gone["grades"] = grades.delete()[0]
        FitGrade.pgh_event_models["insert"].objects.filter(pgh_obj_id__in=numbers).delete()  # type: ignore[attr-defined]
    return gone
