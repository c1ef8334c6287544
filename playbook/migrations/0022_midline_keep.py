"""The quarterback keeps midline as the shipped run says today: off the dive, one gap out, not around the end.

Only the row as it was shipped is changed; one that the staff wrote otherwise stays.
"""

from django.db import migrations

AS_SHIPPED = {"kind": "keep", "who": "quarterback", "where": "play B", "time_s": None}


def improve(apps, schema_editor):  # type: ignore[no-untyped-def]
    """Names today's course in the shipped midline."""
    rows = apps.get_model("playbook", "ThreatRule").objects.filter(
        concept__name="midline", concept__opponent=None, **AS_SHIPPED
    )
    rows.filter(course="option keep").update(course="dive keep")


class Migration(migrations.Migration):
    """One course."""

    dependencies = [
        ("playbook", "0021_roles"),
    ]

    operations = [
        migrations.RunPython(improve, migrations.RunPython.noop),
    ]
