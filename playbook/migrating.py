"""An operation for migrations that make many tables, and what goes from one old state of them to another."""

from __future__ import annotations

from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.operations.base import Operation
from django.db.migrations.operations.models import CreateModel
from django.db.migrations.state import ProjectState


class CreateModels(Operation):
    """Creates many models, with their constraints and triggers, in one step.

    One by one, Django builds all related models anew for each of them: with sixty related models, minutes instead of
    a second.
    """

    atomic = True

    def __init__(self, models: list[CreateModel]) -> None:
        self.models = models

    def deconstruct(self) -> tuple[str, list[Any], dict[str, Any]]:
        """Returns what the migration writer needs."""
        return self.__class__.__name__, [], {"models": self.models}

    def state_forwards(self, app_label: str, state: ProjectState) -> None:
        """Adds the models without building any; they are built once, when first asked for."""
        state.__dict__.pop("apps", None)
        for model in self.models:
            model.state_forwards(app_label, state)

    def database_forwards(
        self, app_label: str, schema_editor: BaseDatabaseSchemaEditor, from_state: ProjectState, to_state: ProjectState
    ) -> None:
        """Creates the tables, then the triggers, whose functions may name any of the tables."""
        for model in self.models:
            model.database_forwards(app_label, schema_editor, from_state, to_state)
        for model in self.models:
            for trigger in model.options.get("triggers", ()):
                schema_editor.execute(trigger.install_sql, params=None)

    def database_backwards(
        self, app_label: str, schema_editor: BaseDatabaseSchemaEditor, from_state: ProjectState, to_state: ProjectState
    ) -> None:
        """Drops the tables, and their triggers with them."""
        for model in reversed(self.models):
            model.database_backwards(app_label, schema_editor, from_state, to_state)

    def describe(self) -> str:
        """Returns what it does, for people."""
        return f"Create {len(self.models)} models"


def executor_of_single_steps(connection: BaseDatabaseWrapper) -> MigrationExecutor:
    """Returns one that knows each migration by itself, also those that one migration replaces in a new database."""
    executor = MigrationExecutor(connection)
    executor.loader.replace_migrations = False
    executor.loader.build_graph()
    return executor
