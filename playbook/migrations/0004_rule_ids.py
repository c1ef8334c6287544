"""A fit rule's id is once in its system: a coverage's rule no longer answers for a front's.

Of rules that shared an id the first keeps it (fronts before coverages, in their order); the others get the name of
their part behind it, in their history as well, and an alias, so that the id they had still finds them.
"""

import re

import django.db.models.constraints
import django.db.models.deletion
import pgtrigger.compiler
import pgtrigger.migrations
from django.db import migrations, models

LONGEST = 60


def make_unique(apps, schema_editor):  # type: ignore[no-untyped-def]
    """Writes each rule's system, and gives a new id to every rule whose id the system has already."""
    get = lambda name: apps.get_model("playbook", name)  # noqa: E731
    rules, aliases, events = get("FitRule"), get("RuleAlias"), get("FitRuleEvent")
    for system in get("System").objects.all():
        parts = [("front", part) for part in get("Front").objects.filter(system=system).order_by("order", "pk")]
        parts += [("coverage", part) for part in get("Coverage").objects.filter(system=system).order_by("order", "pk")]
        mine = [(part, rules.objects.filter(**{noun: part})) for noun, part in parts]
        seen: set[str] = set()
        taken = {rule_id for _, rows in mine for rule_id in rows.values_list("rule_id", flat=True)}
        for part, rows in mine:
            rows.update(system=system)
            for rule in rows.order_by("order", "pk"):
                old = rule.rule_id
                if old in seen:
                    new = _free(old, part.name, taken)
                    taken.add(new)
                    rules.objects.filter(pk=rule.pk).update(rule_id=new)
                    events.objects.filter(id=rule.pk, rule_id=old).update(rule_id=new)
                    aliases.objects.create(rule=rule, old_id=old)
                seen.add(old)
    _settle(schema_editor)


def put_back(apps, schema_editor):  # type: ignore[no-untyped-def]
    """Gives every rule the id it had."""
    get = lambda name: apps.get_model("playbook", name)  # noqa: E731
    for alias in get("RuleAlias").objects.select_related("rule"):
        now = alias.rule.rule_id
        get("FitRule").objects.filter(pk=alias.rule.pk).update(rule_id=alias.old_id)
        get("FitRuleEvent").objects.filter(id=alias.rule.pk, rule_id=now).update(rule_id=alias.old_id)
    _settle(schema_editor)


def _settle(schema_editor):  # type: ignore[no-untyped-def]
    """Has the checks that wait for the end of the transaction made now: a table with some open cannot be altered."""
    schema_editor.execute("SET CONSTRAINTS ALL IMMEDIATE")
    schema_editor.execute("SET CONSTRAINTS ALL DEFERRED")


def _free(old: str, part: str, taken: set[str]) -> str:
    end = "-" + re.sub(r"[^\w]+", "-", part.lower()).strip("-")[:40]
    number = 1
    while True:
        tail = end if number == 1 else f"{end}-{number}"
        new = old[: LONGEST - len(tail)] + tail
        if new not in taken:
            return new
        number += 1


class Migration(migrations.Migration):
    """Ids unique in a system, and the aliases of those that were not."""

    dependencies = [("playbook", "0003_left_men")]

    operations = [
        pgtrigger.migrations.RemoveTrigger(model_name="fitrule", name="update_update"),
        migrations.RemoveConstraint(model_name="fitrule", name="fitrule_id_once_in_front"),
        migrations.RemoveConstraint(model_name="fitrule", name="fitrule_id_once_in_coverage"),
        migrations.AddField(
            model_name="fitrule",
            name="system",
            field=models.ForeignKey(
                editable=False,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="fitrules",
                to="playbook.system",
            ),
        ),
        migrations.CreateModel(
            name="RuleAlias",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("old_id", models.CharField(max_length=60)),
                (
                    "rule",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="aliases", to="playbook.fitrule"
                    ),
                ),
            ],
            options={
                "ordering": ["old_id", "pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("rule", "old_id"), name="rulealias_once"),
                    models.CheckConstraint(condition=models.Q(("old_id", ""), _negated=True), name="rulealias_filled"),
                ],
            },
        ),
        migrations.RunPython(make_unique, put_back),
        migrations.AlterField(
            model_name="fitrule",
            name="system",
            field=models.ForeignKey(
                editable=False,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="fitrules",
                to="playbook.system",
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="fitrule",
            trigger=pgtrigger.compiler.Trigger(
                name="own_system",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    func="\n                NEW.system_id = COALESCE(\n                    (SELECT system_id FROM playbook_front WHERE id = NEW.front_id),\n                    (SELECT system_id FROM playbook_coverage WHERE id = NEW.coverage_id)\n                );\n                RETURN NEW;\n                ",
                    hash="a57e5a99b1132105fe42d4c1568840aef3974819",
                    operation="INSERT OR UPDATE",
                    pgid="pgtrigger_own_system_7c512",
                    table="playbook_fitrule",
                    when="BEFORE",
                ),
            ),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name="fitrule",
            trigger=pgtrigger.compiler.Trigger(
                name="update_update",
                sql=pgtrigger.compiler.UpsertTriggerSql(
                    condition='WHEN (OLD."coverage_id" IS DISTINCT FROM (NEW."coverage_id") OR OLD."fit" IS DISTINCT FROM (NEW."fit") OR OLD."front_id" IS DISTINCT FROM (NEW."front_id") OR OLD."id" IS DISTINCT FROM (NEW."id") OR OLD."leverage" IS DISTINCT FROM (NEW."leverage") OR OLD."order" IS DISTINCT FROM (NEW."order") OR OLD."rule_id" IS DISTINCT FROM (NEW."rule_id") OR OLD."say" IS DISTINCT FROM (NEW."say") OR OLD."version" IS DISTINCT FROM (NEW."version") OR OLD."when" IS DISTINCT FROM (NEW."when") OR OLD."who" IS DISTINCT FROM (NEW."who"))',
                    func='INSERT INTO "playbook_fitruleevent" ("coverage_id", "fit", "front_id", "id", "leverage", "order", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "rule_id", "say", "version", "when", "who") VALUES (NEW."coverage_id", NEW."fit", NEW."front_id", NEW."id", NEW."leverage", NEW."order", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."rule_id", NEW."say", NEW."version", NEW."when", NEW."who"); RETURN NULL;',
                    hash="2fc35a4620a1509bde56e3cd70ed67affffb9839",
                    operation="UPDATE",
                    pgid="pgtrigger_update_update_85feb",
                    table="playbook_fitrule",
                    when="AFTER",
                ),
            ),
        ),
        migrations.AddConstraint(
            model_name="fitrule",
            constraint=models.UniqueConstraint(
                deferrable=django.db.models.constraints.Deferrable["DEFERRED"],
                fields=("system", "rule_id"),
                name="fitrule_id_once_in_system",
            ),
        ),
    ]
