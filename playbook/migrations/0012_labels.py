"""Formations, motions, calls and technique schemes have labels; nothing that people meet is without one.

Rows that have none get the label that the shipped file has for the same identifier, else words made from it; so do the
kept history and the copies of shipped systems, so that a label from here on is no difference the staff made.
"""

import pgtrigger.compiler
import pgtrigger.migrations
from django.db import migrations, models

import fits
from fits.terms import words_of_name


def give_labels(apps, schema_editor):  # type: ignore[no-untyped-def]
    """Writes a label wherever there is none."""
    library = fits.load_library()
    calls = {name: call.label for system in library.systems.values() for name, call in system.calls().items()}
    shelves = {
        "Call": calls,
        "Formation": {name: entry.label for name, entry in library.formations.items()},
        "Motion": {name: entry.label for name, entry in library.motions.items()},
        "Concept": {name: entry.label for name, entry in library.concepts.items()},
        "Option": {name: entry.label for name, entry in library.options.items()},
        "TechniqueScheme": {name: entry.label for name, entry in library.schemes.items()},
        "System": {name: entry.label for name, entry in library.systems.items()},
        "Front": {},
        "Coverage": {},
    }
    for model, labels in shelves.items():
        for table in (apps.get_model("playbook", model), apps.get_model("playbook", f"{model}Event")):
            for name in set(table.objects.filter(label="").values_list("name", flat=True)):
                table.objects.filter(label="", name=name).update(label=labels.get(name) or words_of_name(name))
    for copy in apps.get_model("playbook", "ShippedCopy").objects.all():
        for call in copy.data.get("call", ()):
            call.setdefault("label", calls.get(call["name"]) or words_of_name(call["name"]))
        copy.save()
    schema_editor.execute("SET CONSTRAINTS ALL IMMEDIATE")  # a table with some open cannot be altered
    schema_editor.execute("SET CONSTRAINTS ALL DEFERRED")


class Migration(migrations.Migration):
    """Labels, filled and never empty."""

    dependencies = [
        ("playbook", "0011_installation"),
    ]

    operations = [
        pgtrigger.migrations.RemoveTrigger(
            model_name="call",
            name="insert_insert",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="call",
            name="update_update",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="call",
            name="delete_delete",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="formation",
            name="own_revision",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="formation",
            name="insert_insert",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="formation",
            name="update_update",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="formation",
            name="delete_delete",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="motion",
            name="own_revision",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="motion",
            name="insert_insert",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="motion",
            name="update_update",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="motion",
            name="delete_delete",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="techniquescheme",
            name="insert_insert",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="techniquescheme",
            name="update_update",
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name="techniquescheme",
            name="delete_delete",
        ),
        migrations.RemoveConstraint(
            model_name="call",
            name="call_named",
        ),
        migrations.RemoveConstraint(
            model_name="concept",
            name="concept_named",
        ),
        migrations.RemoveConstraint(
            model_name="coverage",
            name="coverage_named",
        ),
        migrations.RemoveConstraint(
            model_name="formation",
            name="formation_named",
        ),
        migrations.RemoveConstraint(
            model_name="front",
            name="front_named",
        ),
        migrations.RemoveConstraint(
            model_name="motion",
            name="motion_named",
        ),
        migrations.RemoveConstraint(
            model_name="option",
            name="option_named",
        ),
        migrations.RemoveConstraint(
            model_name="system",
            name="system_named",
        ),
        migrations.RemoveConstraint(
            model_name="techniquescheme",
            name="scheme_named",
        ),
        migrations.AddField(
            model_name="call",
            name="label",
            field=models.CharField(default="", max_length=120),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="callevent",
            name="label",
            field=models.CharField(default="", max_length=120),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="formation",
            name="label",
            field=models.CharField(default="", max_length=120),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="formationevent",
            name="label",
            field=models.CharField(default="", max_length=120),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="motion",
            name="label",
            field=models.CharField(default="", max_length=120),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="motionevent",
            name="label",
            field=models.CharField(default="", max_length=120),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="techniquescheme",
            name="label",
            field=models.CharField(default="", max_length=120),
            preserve_default=False,
        ),
        migrations.AddField(
            model_name="techniqueschemeevent",
            name="label",
            field=models.CharField(default="", max_length=120),
            preserve_default=False,
        ),
        migrations.AlterField(
            model_name="concept",
            name="label",
            field=models.CharField(max_length=120),
        ),
        migrations.AlterField(
            model_name="conceptevent",
            name="label",
            field=models.CharField(max_length=120),
        ),
        migrations.AlterField(
            model_name="coverage",
            name="label",
            field=models.CharField(max_length=120),
        ),
        migrations.AlterField(
            model_name="coverageevent",
            name="label",
            field=models.CharField(max_length=120),
        ),
        migrations.AlterField(
            model_name="front",
            name="label",
            field=models.CharField(max_length=120),
        ),
        migrations.AlterField(
            model_name="frontevent",
            name="label",
            field=models.CharField(max_length=120),
        ),
        migrations.AlterField(
            model_name="option",
            name="label",
            field=models.CharField(max_length=120),
        ),
        migrations.AlterField(
            model_name="optionevent",
            name="label",
            field=models.CharField(max_length=120),
        ),
        migrations.AlterField(
            model_name="system",
            name="label",
            field=models.CharField(max_length=120),
        ),
        migrations.AlterField(
            model_name="systemevent",
            name="label",
            field=models.CharField(max_length=120),
        ),
        migrations.RunPython(give_labels, migrations.RunPython.noop),
        pgtrigger.migrations.AddTrigger(
            model_name="call",
            trigger=pgtrigger.compiler.Trigger(
                name="insert_insert",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    func='INSERT INTO "playbook_callevent" ("coverage_id", "front_id", "id", "label", "name", "note", "order", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "short", "system_id", "version") VALUES (NEW."coverage_id", NEW."front_id", NEW."id", NEW."label", NEW."name", NEW."note", NEW."order", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."short", NEW."system_id", NEW."version"); RETURN NULL;',
                    hash="1d26a8cd35e6508bf39ec14f4ae6698f8248acae",
                    operation="INSERT",
                    pgid="pgtrigger_insert_insert_37160",
                    table="playbook_call",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="call",
            trigger=pgtrigger.compiler.Trigger(
                name="update_update",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    condition="WHEN (OLD.* IS DISTINCT FROM NEW.*)",
                    func='INSERT INTO "playbook_callevent" ("coverage_id", "front_id", "id", "label", "name", "note", "order", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "short", "system_id", "version") VALUES (NEW."coverage_id", NEW."front_id", NEW."id", NEW."label", NEW."name", NEW."note", NEW."order", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."short", NEW."system_id", NEW."version"); RETURN NULL;',
                    hash="5719acf77a606d6d865e2d00ae85ffa71d0f840a",
                    operation="UPDATE",
                    pgid="pgtrigger_update_update_de5a4",
                    table="playbook_call",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="call",
            trigger=pgtrigger.compiler.Trigger(
                name="delete_delete",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    func='INSERT INTO "playbook_callevent" ("coverage_id", "front_id", "id", "label", "name", "note", "order", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "short", "system_id", "version") VALUES (OLD."coverage_id", OLD."front_id", OLD."id", OLD."label", OLD."name", OLD."note", OLD."order", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."short", OLD."system_id", OLD."version"); RETURN NULL;',
                    hash="b65506211f67b1bf609f869a01313c32193a7619",
                    operation="DELETE",
                    pgid="pgtrigger_delete_delete_fb6b9",
                    table="playbook_call",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="formation",
            trigger=pgtrigger.compiler.Trigger(
                name="own_revision",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    condition='WHEN (OLD."label" IS DISTINCT FROM (NEW."label") OR OLD."name" IS DISTINCT FROM (NEW."name") OR OLD."note" IS DISTINCT FROM (NEW."note") OR OLD."personnel" IS DISTINCT FROM (NEW."personnel") OR OLD."source" IS DISTINCT FROM (NEW."source"))',
                    func="NEW.revision = nextval('playbook_revision'); RETURN NEW;",
                    hash="abd44f0439c7eff24688b1799342b3665463b6e2",
                    operation="UPDATE",
                    pgid="pgtrigger_own_revision_09a55",
                    table="playbook_formation",
                    when="BEFORE",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="formation",
            trigger=pgtrigger.compiler.Trigger(
                name="insert_insert",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    func='INSERT INTO "playbook_formationevent" ("id", "label", "name", "note", "opponent_id", "personnel", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "source", "version") VALUES (NEW."id", NEW."label", NEW."name", NEW."note", NEW."opponent_id", NEW."personnel", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."source", NEW."version"); RETURN NULL;',
                    hash="c56bb508014cfaa5793afe970f564faf92cbcdbb",
                    operation="INSERT",
                    pgid="pgtrigger_insert_insert_0dfe1",
                    table="playbook_formation",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="formation",
            trigger=pgtrigger.compiler.Trigger(
                name="update_update",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    condition='WHEN (OLD."id" IS DISTINCT FROM (NEW."id") OR OLD."label" IS DISTINCT FROM (NEW."label") OR OLD."name" IS DISTINCT FROM (NEW."name") OR OLD."note" IS DISTINCT FROM (NEW."note") OR OLD."opponent_id" IS DISTINCT FROM (NEW."opponent_id") OR OLD."personnel" IS DISTINCT FROM (NEW."personnel") OR OLD."source" IS DISTINCT FROM (NEW."source") OR OLD."version" IS DISTINCT FROM (NEW."version"))',
                    func='INSERT INTO "playbook_formationevent" ("id", "label", "name", "note", "opponent_id", "personnel", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "source", "version") VALUES (NEW."id", NEW."label", NEW."name", NEW."note", NEW."opponent_id", NEW."personnel", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."source", NEW."version"); RETURN NULL;',
                    hash="467ef116e41caa546fcc70935b6bfe10d4421a02",
                    operation="UPDATE",
                    pgid="pgtrigger_update_update_ffd24",
                    table="playbook_formation",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="formation",
            trigger=pgtrigger.compiler.Trigger(
                name="delete_delete",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    func='INSERT INTO "playbook_formationevent" ("id", "label", "name", "note", "opponent_id", "personnel", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "source", "version") VALUES (OLD."id", OLD."label", OLD."name", OLD."note", OLD."opponent_id", OLD."personnel", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."source", OLD."version"); RETURN NULL;',
                    hash="df14e3dfcd8872bba07a2b7703a2a241b407f640",
                    operation="DELETE",
                    pgid="pgtrigger_delete_delete_555e7",
                    table="playbook_formation",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="motion",
            trigger=pgtrigger.compiler.Trigger(
                name="own_revision",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    condition='WHEN (OLD."balance" IS DISTINCT FROM (NEW."balance") OR OLD."kind" IS DISTINCT FROM (NEW."kind") OR OLD."label" IS DISTINCT FROM (NEW."label") OR OLD."mirror" IS DISTINCT FROM (NEW."mirror") OR OLD."name" IS DISTINCT FROM (NEW."name") OR OLD."note" IS DISTINCT FROM (NEW."note") OR OLD."source" IS DISTINCT FROM (NEW."source") OR OLD."who" IS DISTINCT FROM (NEW."who") OR OLD."x" IS DISTINCT FROM (NEW."x") OR OLD."x_of" IS DISTINCT FROM (NEW."x_of") OR OLD."y" IS DISTINCT FROM (NEW."y") OR OLD."y_of" IS DISTINCT FROM (NEW."y_of"))',
                    func="NEW.revision = nextval('playbook_revision'); RETURN NEW;",
                    hash="6b374d40e9c2336d68a87f2e93ba5a348616e6dc",
                    operation="UPDATE",
                    pgid="pgtrigger_own_revision_a8504",
                    table="playbook_motion",
                    when="BEFORE",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="motion",
            trigger=pgtrigger.compiler.Trigger(
                name="insert_insert",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    func='INSERT INTO "playbook_motionevent" ("balance", "id", "kind", "label", "mirror", "name", "note", "opponent_id", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "source", "version", "who", "x", "x_of", "y", "y_of") VALUES (NEW."balance", NEW."id", NEW."kind", NEW."label", NEW."mirror", NEW."name", NEW."note", NEW."opponent_id", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."source", NEW."version", NEW."who", NEW."x", NEW."x_of", NEW."y", NEW."y_of"); RETURN NULL;',
                    hash="b0004fe92ec0af07bc99eb8adefe890364c1bfd6",
                    operation="INSERT",
                    pgid="pgtrigger_insert_insert_90196",
                    table="playbook_motion",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="motion",
            trigger=pgtrigger.compiler.Trigger(
                name="update_update",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    condition='WHEN (OLD."balance" IS DISTINCT FROM (NEW."balance") OR OLD."id" IS DISTINCT FROM (NEW."id") OR OLD."kind" IS DISTINCT FROM (NEW."kind") OR OLD."label" IS DISTINCT FROM (NEW."label") OR OLD."mirror" IS DISTINCT FROM (NEW."mirror") OR OLD."name" IS DISTINCT FROM (NEW."name") OR OLD."note" IS DISTINCT FROM (NEW."note") OR OLD."opponent_id" IS DISTINCT FROM (NEW."opponent_id") OR OLD."source" IS DISTINCT FROM (NEW."source") OR OLD."version" IS DISTINCT FROM (NEW."version") OR OLD."who" IS DISTINCT FROM (NEW."who") OR OLD."x" IS DISTINCT FROM (NEW."x") OR OLD."x_of" IS DISTINCT FROM (NEW."x_of") OR OLD."y" IS DISTINCT FROM (NEW."y") OR OLD."y_of" IS DISTINCT FROM (NEW."y_of"))',
                    func='INSERT INTO "playbook_motionevent" ("balance", "id", "kind", "label", "mirror", "name", "note", "opponent_id", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "source", "version", "who", "x", "x_of", "y", "y_of") VALUES (NEW."balance", NEW."id", NEW."kind", NEW."label", NEW."mirror", NEW."name", NEW."note", NEW."opponent_id", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."source", NEW."version", NEW."who", NEW."x", NEW."x_of", NEW."y", NEW."y_of"); RETURN NULL;',
                    hash="28702bb2d6376057c5436faa9d616eabbc9419ea",
                    operation="UPDATE",
                    pgid="pgtrigger_update_update_f1d10",
                    table="playbook_motion",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="motion",
            trigger=pgtrigger.compiler.Trigger(
                name="delete_delete",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    func='INSERT INTO "playbook_motionevent" ("balance", "id", "kind", "label", "mirror", "name", "note", "opponent_id", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "source", "version", "who", "x", "x_of", "y", "y_of") VALUES (OLD."balance", OLD."id", OLD."kind", OLD."label", OLD."mirror", OLD."name", OLD."note", OLD."opponent_id", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."source", OLD."version", OLD."who", OLD."x", OLD."x_of", OLD."y", OLD."y_of"); RETURN NULL;',
                    hash="62e6f62395ade2588f47a20f2dc9e42009ed1a8c",
                    operation="DELETE",
                    pgid="pgtrigger_delete_delete_cf198",
                    table="playbook_motion",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="techniquescheme",
            trigger=pgtrigger.compiler.Trigger(
                name="insert_insert",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    func='INSERT INTO "playbook_techniqueschemeevent" ("id", "inline", "label", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "source", "version") VALUES (NEW."id", NEW."inline", NEW."label", NEW."name", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."source", NEW."version"); RETURN NULL;',
                    hash="7b44bed478aa9f166e46cdc591b7dbdf964ea1c1",
                    operation="INSERT",
                    pgid="pgtrigger_insert_insert_e79b1",
                    table="playbook_techniquescheme",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="techniquescheme",
            trigger=pgtrigger.compiler.Trigger(
                name="update_update",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    condition="WHEN (OLD.* IS DISTINCT FROM NEW.*)",
                    func='INSERT INTO "playbook_techniqueschemeevent" ("id", "inline", "label", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "source", "version") VALUES (NEW."id", NEW."inline", NEW."label", NEW."name", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."source", NEW."version"); RETURN NULL;',
                    hash="c95794ff69ca95b231dea49c9e59222565bb29cc",
                    operation="UPDATE",
                    pgid="pgtrigger_update_update_b7f16",
                    table="playbook_techniquescheme",
                    when="AFTER",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="techniquescheme",
            trigger=pgtrigger.compiler.Trigger(
                name="delete_delete",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    func='INSERT INTO "playbook_techniqueschemeevent" ("id", "inline", "label", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "source", "version") VALUES (OLD."id", OLD."inline", OLD."label", OLD."name", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."source", OLD."version"); RETURN NULL;',
                    hash="4e00a9afaa34181455ef2ac998b7e3b4110c2ba8",
                    operation="DELETE",
                    pgid="pgtrigger_delete_delete_6961e",
                    table="playbook_techniquescheme",
                    when="AFTER",
                ),
            ),
        ),
        migrations.AddConstraint(
            model_name="call",
            constraint=models.CheckConstraint(
                condition=models.Q(models.Q(("name", ""), _negated=True), models.Q(("label", ""), _negated=True)),
                name="call_named",
            ),
        ),
        migrations.AddConstraint(
            model_name="concept",
            constraint=models.CheckConstraint(
                condition=models.Q(models.Q(("name", ""), _negated=True), models.Q(("label", ""), _negated=True)),
                name="concept_named",
            ),
        ),
        migrations.AddConstraint(
            model_name="coverage",
            constraint=models.CheckConstraint(
                condition=models.Q(models.Q(("name", ""), _negated=True), models.Q(("label", ""), _negated=True)),
                name="coverage_named",
            ),
        ),
        migrations.AddConstraint(
            model_name="formation",
            constraint=models.CheckConstraint(
                condition=models.Q(models.Q(("name", ""), _negated=True), models.Q(("label", ""), _negated=True)),
                name="formation_named",
            ),
        ),
        migrations.AddConstraint(
            model_name="front",
            constraint=models.CheckConstraint(
                condition=models.Q(models.Q(("name", ""), _negated=True), models.Q(("label", ""), _negated=True)),
                name="front_named",
            ),
        ),
        migrations.AddConstraint(
            model_name="motion",
            constraint=models.CheckConstraint(
                condition=models.Q(models.Q(("name", ""), _negated=True), models.Q(("label", ""), _negated=True)),
                name="motion_named",
            ),
        ),
        migrations.AddConstraint(
            model_name="option",
            constraint=models.CheckConstraint(
                condition=models.Q(models.Q(("name", ""), _negated=True), models.Q(("label", ""), _negated=True)),
                name="option_named",
            ),
        ),
        migrations.AddConstraint(
            model_name="system",
            constraint=models.CheckConstraint(
                condition=models.Q(models.Q(("name", ""), _negated=True), models.Q(("label", ""), _negated=True)),
                name="system_named",
            ),
        ),
        migrations.AddConstraint(
            model_name="techniquescheme",
            constraint=models.CheckConstraint(
                condition=models.Q(models.Q(("name", ""), _negated=True), models.Q(("label", ""), _negated=True)),
                name="scheme_named",
            ),
        ),
    ]
