"""The backup of every night: made, read again, and the oldest let go."""

from __future__ import annotations

import os
from datetime import datetime, timedelta
from pathlib import Path

from django.utils import timezone
from procrastinate.contrib.django.models import ProcrastinateEvent

from playbook import postgres
from playbook.backups import files, services

TASK = "back_up_nightly"
KEPT = 14
OLD = timedelta(days=2)


def folder() -> Path:
    """Returns where backups are kept: LANEPROOF_BACKUPS, else in the data folder."""
    return Path(os.environ.get("LANEPROOF_BACKUPS") or postgres.default_folder() / "backups")


def back_up() -> Path:
    """Returns the new backup, which was read again; of those before it the newest 13 stay. Raises OSError, NotNow."""
    place = folder()
    place.mkdir(mode=0o700, parents=True, exist_ok=True)
    path = place / f"laneproof-{timezone.now():%Y-%m-%d-%H%M%S}.backup"
    part = path.with_suffix(".part")
    try:
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
            services.back_up(out)
            os.fsync(out.fileno())
        with files.opened(str(part)):  # goes through all of it
            pass
        part.rename(path)
    finally:
        part.unlink(missing_ok=True)
    for old in sorted(place.glob("laneproof-*.backup"))[:-KEPT]:
        old.unlink()
    return path


def last_good() -> datetime | None:
    """Returns when the last nightly backup was done, on whichever machine."""
    done = ProcrastinateEvent.objects.filter(job__task_name=TASK, type="succeeded")
    return done.order_by("-at").values_list("at", flat=True).first()


def is_old(since: datetime) -> bool:
    """Returns whether there should be a newer one. `since` is when the installation began."""
    return timezone.now() - (last_good() or since) > OLD
