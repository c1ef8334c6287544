"""What every answer has in common: nobody else keeps it, and a database that is away is said, not broken."""

from unittest.mock import patch

import pytest
from django.db import InterfaceError, OperationalError
from django.test import Client
from django.urls import reverse

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("name", ["home:start", "week:list", "roster:list", "people:sign-ins", "api:schema"])
def test_pages_are_kept_by_nobody(as_staff, name):
    said = as_staff.get(reverse(name)).headers["Cache-Control"]
    assert "private" in said and "no-store" in said


@pytest.mark.parametrize("error", [OperationalError("the server closed the connection"), InterfaceError("closed")])
@pytest.mark.parametrize(("address", "kind"), [("/alive", "text/html"), ("/api/seasons/", "application/json")])
def test_a_database_that_is_away_is_503_and_says_what_to_do(error, address, kind, staff):
    client = Client(raise_request_exception=False)
    client.force_login(staff)
    with patch("django.db.backends.utils.CursorWrapper.execute", side_effect=error):
        answer = client.get(address)
    assert answer.status_code == 503 and answer.headers["Retry-After"] == "5"
    assert answer.headers["Content-Type"].startswith(kind)
    assert b"does not answer just now" in answer.content


def test_another_fault_is_500():
    client = Client(raise_request_exception=False)
    with patch("playbook.home.pages.HttpResponse", side_effect=ValueError):
        assert client.get("/alive").status_code == 500
