"""The OpenAPI schema says what the API does: requests made from it, right and wrong, are answered as it promises."""

import io
import os
from contextlib import redirect_stderr
from zlib import crc32

import pytest
import schemathesis
from django.core.signals import request_finished, request_started
from django.core.wsgi import get_wsgi_application
from django.db import close_old_connections
from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.validation import validate_schema
from hypothesis import HealthCheck, Phase, settings
from schemathesis import GenerationMode
from schemathesis.config import SchemathesisConfig

from playbook.models import Concept, ExpectedLook, Formation, Motion, Option, TechniqueScheme
from tests.playbook.api.access_table import ROWS, released_week

EXAMPLES = int(os.environ.get("LANEPROOF_API_EXAMPLES", "3"))  # a few for every run, more by hand
NAMED = {
    **{model._meta.model_name: model for model in ROWS.values()},
    "scheme": TechniqueScheme,
    "look": ExpectedLook,
}
REFUSALS = ["2xx", "401", "403", "404", "409", "422", "5xx"]


@pytest.fixture
def asked(db, coach):
    """The schema as the API serves it to a coach, with rows to ask for."""
    released_week()
    schema = coach.get("/api/schema/").json()
    for signal in (request_started, request_finished):  # the test's transaction lives on this connection
        signal.disconnect(close_old_connections)
    config = SchemathesisConfig.from_dict(
        {
            "generation": {"deterministic": True, "database": "none", "no-shrink": True},
            "checks": {"positive_data_acceptance": {"expected-statuses": REFUSALS}},
            "phases": {"coverage": {"enabled": False}, "examples": {"enabled": False}},
        }
    )
    loaded = schemathesis.openapi.from_dict(schema, config=config)
    loaded.app = get_wsgi_application()
    yield loaded
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


schema = schemathesis.pytest.from_fixture("asked")


@schema.parametrize()
@settings(
    max_examples=EXAMPLES,
    deadline=None,
    database=None,
    derandomize=True,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)
def test_answers_are_as_promised(case, coach):
    if case.meta.generation.mode == GenerationMode.POSITIVE and crc32(repr(case.body).encode()) % 3:
        aim_at_rows_that_are_there(case)
    case.call_and_validate(headers={"Authorization": coach._credentials["HTTP_AUTHORIZATION"]})


def aim_at_rows_that_are_there(case):
    """Asks for a row that exists, in the version it has, and names others that exist."""
    model = ROWS.get(case.operation.path.split("/")[2])
    body = case.body if isinstance(case.body, dict) else {}
    for name, other in NAMED.items():
        found = other.objects.first() if isinstance(body.get(name), int) else None
        if found is not None:
            body[name] = found.pk
    row = model.objects.first() if model and "id" in case.path_parameters else None
    if row is not None:
        case.path_parameters["id"] = row.pk
        seen = row.revision if model in (Formation, Concept, Option, Motion) else row.version
        if "version" in body:
            body["version"] = seen
        if "version" in case.query:
            case.query["version"] = seen


def test_the_schema_is_valid_and_nothing_was_guessed(db):
    said = io.StringIO()
    with redirect_stderr(said):
        validate_schema(SchemaGenerator().get_schema(request=None, public=True))
    assert said.getvalue() == ""
