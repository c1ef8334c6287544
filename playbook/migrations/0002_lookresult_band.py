"""Stored results keep the band of a look. Old ones are of an older engine and are never looked up again."""

from __future__ import annotations

from django.db import migrations, models
from django.db.models import Q


def drop_results(apps, schema_editor):  # type: ignore[no-untyped-def]
    """Empties the store: it is filled again as looks are asked for."""
    apps.get_model("playbook", "LookResult").objects.all().delete()


class Migration(migrations.Migration):
    """`sound` becomes `band`."""

    dependencies = [("playbook", "0001_initial")]

    operations = [
        migrations.RunPython(drop_results, migrations.RunPython.noop),
        migrations.RemoveConstraint("lookresult", "lookresult_reasoned"),
        migrations.RemoveField("lookresult", "sound"),
        migrations.AddField("lookresult", "band", models.CharField(max_length=20, blank=True, default=""), False),
        migrations.AddConstraint(
            "lookresult",
            models.CheckConstraint(condition=~Q(band="") | ~Q(reason=""), name="lookresult_reasoned"),
        ),
    ]
