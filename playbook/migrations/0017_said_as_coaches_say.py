"""Some shipped labels get words that coaches say, and what was written with identifiers is written with labels.

A label that the staff changed stays. The kept copies of shipped systems follow, so that no difference is the staff's.
"""

import re

from django.db import migrations

BETTER = {
    "Formation": {
        "11-trips-nub": ("Trips, nub end away", "Trips, nub tight end"),
        "13-three-tight": ("Three tight, under", "Three tight, under centre"),
    },
    "Concept": {"toss-crack": ("Toss with a crack", "Crack toss")},
    "Option": {"bubble": ("Bubble to the eyes side", "Bubble where he looks")},
    "Coverage": {"halves": ("Cover 2, corners force", "Cover 2, cloud")},
    "TechniqueScheme": {
        "standard": ("Standard", "Standard numbering"),
        "variant": ("Variant", "Alternate numbering"),
    },
}
GUESS = re.compile(r"(?P<run>the same run|[\w-]+(?=, of the same family,))(?P<middle>.* came \d+ times )(?P<place>.*)")


def say(apps, schema_editor):  # type: ignore[no-untyped-def]
    """Writes the labels, the reasons of guesses and the reasons of suggested calls."""
    for model, words in BETTER.items():
        for name, (old, new) in words.items():
            apps.get_model("playbook", model).objects.filter(name=name, label=old).update(label=new)
    for copy in apps.get_model("playbook", "ShippedCopy").objects.all():
        for part in copy.data.get("coverage", ()):
            if part.get("name") == "halves" and part.get("label") == "Cover 2, corners force":
                part["label"] = "Cover 2, cloud"
                copy.save()
    _guesses(apps)
    _suggestions(apps)


def _labels(apps, model, opponent):  # type: ignore[no-untyped-def]
    rows = apps.get_model("playbook", model).objects.all()
    found = dict(rows.filter(opponent=None).values_list("name", "label"))
    return found | dict(rows.filter(opponent=opponent).values_list("name", "label")) if opponent else found


def _guesses(apps):  # type: ignore[no-untyped-def]
    looks = apps.get_model("playbook", "ExpectedLook").objects.filter(note__contains=" came ")
    for look in looks.select_related("week"):
        found = GUESS.fullmatch(look.note)
        if found is None:
            continue
        concepts = _labels(apps, "Concept", look.week.opponent_id)
        formations = _labels(apps, "Formation", look.week.opponent_id)
        place = re.sub(r"(?<=^from )[\w-]+", lambda name: formations.get(name[0], name[0]), found["place"])
        note = concepts.get(found["run"], found["run"]) + found["middle"] + place
        if note != look.note:
            look.note = note[:300]
            look.save(update_fields=["note"])


def _suggestions(apps):  # type: ignore[no-untyped-def]
    for row in apps.get_model("playbook", "MenuCall").objects.filter(note__contains=" is sound against "):
        calls = apps.get_model("playbook", "Call").objects.filter(system=row.week.system_id)
        labels = dict(calls.values_list("name", "label"))
        note = re.sub(
            r"^[\w-]+(?= is sound against )|(?<=; next is )[\w-]+", lambda m: labels.get(m[0], m[0]), row.note
        )
        if note != row.note:
            row.note = note[:300]
            row.save(update_fields=["note"])


class Migration(migrations.Migration):
    """Words only."""

    dependencies = [
        ("playbook", "0016_charts_to_trust"),
    ]

    operations = [
        migrations.RunPython(say, migrations.RunPython.noop),
    ]
