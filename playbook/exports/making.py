"""Makes a document that was asked for. Making one twice gives the same document."""

from __future__ import annotations

import hashlib
from collections import Counter
from typing import Any

import typst
from django.utils import timezone

import fits
from playbook.exports import documents, lettering, queries, typesetting
from playbook.models import Export, ExportState

AT_MOST = 40  # progress is written about this often


def make(pk: int) -> None:
    """Makes the document, unless that is done already or nobody wants it any more. What cannot be made says why."""
    export = queries.exports().filter(pk=pk).exclude(state=ExportState.DONE).first()
    if export is None:
        return
    replaced: Counter[str] = Counter()
    try:
        if export.week is None:
            raise documents.NothingToPrint("The week was deleted.")
        week = queries.weeks().get(pk=export.week_id)
        steps = documents.count_steps(export.document, week, export.choice) + 1
        _note(pk, state=ExportState.WORKING, step=0, steps=steps, trouble="", warning="")
        data = documents.collect(export.document, week, export.choice, _Progress(pk, steps))
        pdf = typesetting.make_pdf(export.document, data, replaced)
    except (documents.NothingToPrint, fits.FitsError, typst.TypstError) as trouble:
        _note(pk, state=ExportState.FAILED, trouble=str(trouble), finished_at=timezone.now())
        return
    digest = hashlib.sha256(pdf).hexdigest()
    _note(
        pk, state=ExportState.DONE, step=steps, content=pdf, size=len(pdf), digest=digest, finished_at=timezone.now(),
        warning=lettering.warning(replaced),
    )  # fmt: skip


class _Progress:
    """Counts drawings, and writes the count now and then."""

    def __init__(self, pk: int, steps: int) -> None:
        self.pk, self.every, self.done = pk, max(1, steps // AT_MOST), 0

    def __call__(self) -> None:
        self.done += 1
        if self.done % self.every == 0:
            _note(self.pk, step=self.done)


def _note(pk: int, **changes: Any) -> None:
    Export.objects.filter(pk=pk).update(**changes)
