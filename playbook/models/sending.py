"""Forms that were sent, so that one that is sent twice is kept once."""

from __future__ import annotations

from django.db import models


class SentForm(models.Model):
    """A form that was kept, by a digest of its key, who sent it where, and what it said; and where it led."""

    digest = models.CharField(max_length=64, primary_key=True)
    led_to = models.TextField(blank=True)
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        indexes = [models.Index(fields=["at"], name="sentform_at")]

    def __str__(self) -> str:
        return self.digest
