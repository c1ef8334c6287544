"""Every named address x every role. A capability lists its addresses in tests/playbook/<capability>/access_table.py:

    TABLE = {"looks:detail": Rule("staff", kwargs=lambda: {"pk": make_look().pk})}

"staff" there is every coach; the fixture of that name is a coordinator. Nobody
signed in is sent to the log-in page (401 in the API); a page of other roles answers 404 (403 in the API).
"""

import importlib
from pathlib import Path

import pytest
from django.db import transaction
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.playbook.access_rule import Rule

HERE = Path(__file__).parent
ROLES = ["nobody", "player", "staff", "admin"]
ALLOWED = {
    "anyone": ROLES,
    "everyone": ROLES[1:],
    "player": ["player"],
    "staff": ROLES[2:],
    "admin": ["admin"],
}


def all_names(patterns, space=""):
    for entry in patterns:
        if isinstance(entry, URLResolver):
            yield from all_names(entry.url_patterns, f"{space}{entry.namespace}:" if entry.namespace else space)
        elif isinstance(entry, URLPattern):
            yield f"{space}{entry.name}"


def table() -> dict[str, Rule]:
    rules: dict[str, Rule] = {}
    for path in sorted(HERE.glob("*/access_table.py")):
        found = importlib.import_module(f"tests.playbook.{path.parent.name}.access_table").TABLE
        assert not rules.keys() & found.keys(), f"{path} lists an address that another table lists too"
        rules |= found
    return rules


TABLE = table()


def test_every_address_is_in_a_table_and_every_entry_is_an_address():
    names = set(all_names(get_resolver().url_patterns))
    assert names - TABLE.keys() == set(), "not in any access_table.py"
    assert TABLE.keys() - names == set(), "in an access_table.py but no address"


@pytest.mark.django_db
@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("name", sorted(TABLE))
def test_who_may_see_it(name, role, client, request):
    rule = TABLE[name]
    if role != "nobody":
        client.force_login(request.getfixturevalue(role))
    address = reverse(name, kwargs=rule.kwargs())
    response = client.generic(rule.method.upper(), address)
    if role in ALLOWED[rule.who]:
        assert response.status_code in rule.fine, response.status_code
        assert not (response.status_code == 302 and "/log-in" in response["Location"] and rule.who != "anyone")
    elif name.startswith("api:"):
        assert response.status_code == (401 if role == "nobody" else 403)
    elif role == "nobody":
        assert response.status_code == 302
        assert response["Location"].startswith(reverse("people:log-in"))
    else:
        assert response.status_code == 404


@pytest.mark.django_db
@pytest.mark.parametrize("role", ["assistant", "position"])
def test_who_of_the_staff_saves(role, client, request):
    """Every form that a page of the staff takes, sent empty: refused in words to who only reads."""
    person = request.getfixturevalue(role)
    refused = {"leads"} | ({"groups"} if role == "assistant" else set())
    wrong = []
    for name, rule in TABLE.items():
        if rule.who == "staff" and not name.startswith("api:"):
            with transaction.atomic():
                client.force_login(person)
                status = client.post(reverse(name, kwargs=rule.kwargs())).status_code
                transaction.set_rollback(True)
            if (status == 403) != (rule.saves in refused) and status != 405:
                wrong.append(f"{name}: {status}")
    assert wrong == []
