"""Documents of before under the names of those that took their place."""

from django.db import migrations, models

NAMES = ["booklet", "my-week", "quiz", "hand-out", "wall", "cards", "call-book", "install"]
LABELS = [
    "Position booklet", "My week, on one page", "Quiz on paper", "Meeting hand-out", "Wall picture",
    "Cards, four on a page", "Call book", "Install plan of a group",
]  # fmt: skip


def rename(apps, schema_editor):
    """A sheet of one look is a hand-out now."""
    apps.get_model("playbook", "Export").objects.filter(document="look").update(document="hand-out")


def rename_back(apps, schema_editor):
    """Documents that there were not yet are left out."""
    exports = apps.get_model("playbook", "Export").objects
    exports.filter(document="hand-out").update(document="look")
    exports.filter(document__in=["my-week", "quiz", "wall", "cards"]).delete()


class Migration(migrations.Migration):
    dependencies = [("playbook", "0013_sheet_opening")]

    operations = [
        migrations.RemoveConstraint(model_name="export", name="export_document_known"),
        migrations.AlterField(
            model_name="export",
            name="document",
            field=models.CharField(choices=list(zip(NAMES, LABELS, strict=True)), max_length=10),
        ),
        migrations.RunPython(rename, rename_back, elidable=True),
        migrations.AddConstraint(
            model_name="export",
            constraint=models.CheckConstraint(
                condition=models.Q(("document__in", NAMES)), name="export_document_known"
            ),
        ),
    ]
