"""Bodies that no program sends in earnest: refused before they are parsed."""

from __future__ import annotations

import json
import time
import tracemalloc

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

SECONDS, MEGABYTES = 5, 40
BODIES = {
    "brackets": "[" * 500_000,
    "objects": '{"a":' * 100_000,
    "closed brackets": "[" * 20 + "]" * 20,
    "empty lists": "[" + "[]," * 300_000 + "[]]",
    "empty objects": "[" + "{}," * 300_000 + "{}]",
    "numbers": "[" + "1," * 500_000 + "1]",
    "keys": "{" + ",".join(f'"k{n}":1' for n in range(100_000)) + "}",
    "a number": "1" * 100_000,
    "a number in a key": '{"year":' + "9" * 100_000 + "}",
    "an open string": '"' + "\\\\" * 500_000,
    "too many bytes": '"' + "x" * 5_000_000 + '"',
    "not a number": '{"year": NaN}',
    "no utf-8": b"\xff\xfe\xff",
}


@pytest.mark.django_db
@pytest.mark.parametrize("name", BODIES)
def test_a_body_that_is_too_much_is_refused_in_words(coach, name):
    address = reverse("api:seasons-list")
    coach.post(address, "{}", content_type="application/json")
    tracemalloc.start()
    started = time.process_time()
    answer = coach.post(address, BODIES[name], content_type="application/json")
    seconds, (_, peak) = time.process_time() - started, tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert answer.status_code == 400
    assert len(answer.content) < 2_000
    assert json.loads(answer.content)["detail"]
    assert seconds < SECONDS and peak / 1_000_000 < MEGABYTES, (seconds, peak)


@pytest.mark.django_db
def test_a_bad_system_file_is_refused_by_page_and_api_alike(coach, as_staff):
    text = ".".join("a" * 10_000) + "=1"
    answer = coach.post(reverse("api:systems-list"), json.dumps({"file": text}), content_type="application/json")
    assert answer.status_code == 422
    assert "dots" in answer.json()["detail"]
    page = as_staff.post(reverse("system:import"), {"file": SimpleUploadedFile("a.toml", text.encode())})
    assert page.status_code == 422
    assert "dots" in page.content.decode()
    page = as_staff.post(reverse("system:import"), {"file": SimpleUploadedFile("a.toml", b"#" * 5_000_000)})
    assert page.status_code == 422
    assert "at most" in page.content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("body", "key"),
    [
        ('{"name": "\\ud800"}', "name"),
        ('{"\\ud800": 1}', None),
        ('{"name": "a\\u0000"}', "name"),
        ('{"a": {"b": ["x", "\\u0000"]}}', "a.b[1]"),
    ],
)
def test_text_that_cannot_be_kept_is_refused_beside_its_key(coach, body, key):
    answer = coach.post(reverse("api:seasons-list"), body, content_type="application/json")
    assert answer.status_code == 422
    assert "Expected text without" in answer.json()["detail"]
    assert list(answer.json()["errors"]) == ([key] if key else [])
