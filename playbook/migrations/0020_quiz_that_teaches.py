"""Answers of the quiz know their round, position and rule, and have a key of their own; the quiz may have a clock."""

import uuid

import django.core.validators
import django.utils.timezone
import pgtrigger.compiler
import pgtrigger.migrations
from django.contrib.postgres.functions import RandomUUID
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('playbook', '0019_sent_forms'),
    ]

    operations = [
        # The database gives each answer that is there a key of its own; from then on whoever asks makes it.
        migrations.AddField('quizanswer', 'key', models.UUIDField(db_default=RandomUUID(), default=uuid.uuid4, editable=False, unique=True)),
        migrations.AlterField('quizanswer', 'key', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
        migrations.AddField('quizanswer', 'round', models.UUIDField(db_default=RandomUUID(), default=uuid.uuid4, editable=False)),
        migrations.AlterField('quizanswer', 'round', models.UUIDField(default=uuid.uuid4, editable=False)),
        migrations.AddField('quizanswer', 'position', models.CharField(blank=True, default='', max_length=20), preserve_default=False),
        migrations.AddField('quizanswer', 'rule', models.CharField(blank=True, default='', max_length=120), preserve_default=False),
        migrations.AddField('quizanswer', 'about', models.CharField(blank=True, default='', max_length=300), preserve_default=False),
        migrations.AlterField('quizanswer', 'at', models.DateTimeField(default=django.utils.timezone.now)),
        migrations.AddIndex('quizanswer', models.Index(fields=['player', 'position', 'at'], name='quizanswer_player_position')),
        migrations.AddField('installation', 'quiz_clock_s', models.PositiveSmallIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(5), django.core.validators.MaxValueValidator(120)])),
        pgtrigger.migrations.RemoveTrigger(
            model_name='installation',
            name='insert_insert',
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name='installation',
            name='update_update',
        ),
        pgtrigger.migrations.RemoveTrigger(
            model_name='installation',
            name='delete_delete',
        ),
        migrations.AddField(
            model_name='installationevent',
            name='quiz_clock_s',
            field=models.PositiveSmallIntegerField(blank=True, null=True, validators=[django.core.validators.MinValueValidator(5), django.core.validators.MaxValueValidator(120)]),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='installation',
            trigger=pgtrigger.compiler.Trigger(name='insert_insert', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "playbook_installationevent" ("id", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "quiz_clock_s", "steps", "system_id", "version") VALUES (NEW."id", NEW."name", _pgh_attach_context(), NOW(), \'insert\', NEW."id", NEW."quiz_clock_s", NEW."steps", NEW."system_id", NEW."version"); RETURN NULL;', hash='14bb5633ef19e3f09a9ca3287b6da21b83d2f136', operation='INSERT', pgid='pgtrigger_insert_insert_c08bf', table='playbook_installation', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='installation',
            trigger=pgtrigger.compiler.Trigger(name='update_update', sql=pgtrigger.compiler.UpsertTriggerSql(condition='WHEN (OLD.* IS DISTINCT FROM NEW.*)', func='INSERT INTO "playbook_installationevent" ("id", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "quiz_clock_s", "steps", "system_id", "version") VALUES (NEW."id", NEW."name", _pgh_attach_context(), NOW(), \'update\', NEW."id", NEW."quiz_clock_s", NEW."steps", NEW."system_id", NEW."version"); RETURN NULL;', hash='1a4f5f4632303d99edca1c9af58e7892574f167c', operation='UPDATE', pgid='pgtrigger_update_update_d8b07', table='playbook_installation', when='AFTER')),
        ),
        pgtrigger.migrations.AddTrigger(
            model_name='installation',
            trigger=pgtrigger.compiler.Trigger(name='delete_delete', sql=pgtrigger.compiler.UpsertTriggerSql(func='INSERT INTO "playbook_installationevent" ("id", "name", "pgh_context_id", "pgh_created_at", "pgh_label", "pgh_obj_id", "quiz_clock_s", "steps", "system_id", "version") VALUES (OLD."id", OLD."name", _pgh_attach_context(), NOW(), \'delete\', OLD."id", OLD."quiz_clock_s", OLD."steps", OLD."system_id", OLD."version"); RETURN NULL;', hash='4c9e88c0d7a1a4a57cdd86b190dc06c68454bd33', operation='DELETE', pgid='pgtrigger_delete_delete_da705', table='playbook_installation', when='AFTER')),
        ),
    ]
