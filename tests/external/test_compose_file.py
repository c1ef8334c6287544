"""The Compose file against the published JSON Schema of the Compose specification, and against what a server asks for.

`compose-spec.json` is `schema/compose-spec.json` of <https://github.com/compose-spec/compose-spec>, licence
Apache-2.0, unchanged, as the package `dclint` 3.1.0 carries it.
"""

import json
import re
import shutil
import subprocess
from pathlib import Path

import jsonschema
import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]
SCHEMA = json.loads((Path(__file__).parent / "compose-spec.json").read_text())
COMPOSE = yaml.safe_load((ROOT / "docker-compose.yml").read_text())
OURS = ("migrate", "web", "worker")


def test_it_follows_the_specification():
    found = [error.message for error in jsonschema.Draft7Validator(SCHEMA).iter_errors(COMPOSE)]
    assert found == []


@pytest.mark.parametrize(
    "wrong", [{"ports": "80"}, {"image": 7}, {"helthcheck": {}}, {"healthcheck": {"test": 3}}, {"read_only": []}]
)
def test_the_schema_refuses_what_is_wrong(wrong):
    broken = {**COMPOSE, "services": {**COMPOSE["services"], "web": {**COMPOSE["services"]["web"], **wrong}}}
    assert list(jsonschema.Draft7Validator(SCHEMA).iter_errors(broken))


@pytest.mark.parametrize("name", sorted(COMPOSE["services"]))
def test_every_service_has_a_fixed_version_and_a_root_that_cannot_be_written(name):
    service = COMPOSE["services"][name]
    assert "build" in service or re.search(r":\d+\.\d+", service["image"]), service["image"]
    assert service["read_only"] is True and service["cap_drop"] == ["ALL"]
    assert "healthcheck" in service or service["restart"] == "no"


@pytest.mark.parametrize("name", [*OURS, "postgres"])
def test_nobody_is_root_but_the_front(name):
    service = COMPOSE["services"][name]
    user = service.get("user") or re.findall(r"^USER (\S+)$", (ROOT / "Dockerfile").read_text(), re.MULTILINE)[-1]
    assert user not in ("root", "0") and service["security_opt"] == ["no-new-privileges:true"]


def test_the_linter_finds_nothing_in_the_image():
    tool = shutil.which("hadolint") or ROOT / ".venv/bin/hadolint"
    if not Path(tool).exists():
        pytest.skip("hadolint is not installed")
    checked = subprocess.run([tool, ROOT / "Dockerfile"], capture_output=True, text=True)
    assert (checked.returncode, checked.stdout) == (0, "")
