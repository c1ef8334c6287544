"""Who may use the pages of looks."""

from tests.playbook.access_rule import Rule
from tests.playbook.looks.made import expected_pk, look_kwargs

TABLE = {
    "looks:start": Rule("staff"),
    "looks:of-call": Rule("staff", kwargs=lambda: {"pk": look_kwargs()["call"]}, fine=(303,)),
    "looks:of-week": Rule("staff", kwargs=lambda: {"pk": expected_pk()}, fine=(303,)),
    "looks:detail": Rule("staff", kwargs=look_kwargs),
    "looks:meeting": Rule("staff", kwargs=look_kwargs),
    "looks:compare": Rule("staff", kwargs=look_kwargs),
    "looks:place": Rule("staff", kwargs=look_kwargs, fine=(200, 422)),
    "looks:play": Rule("staff", kwargs=look_kwargs),
    "looks:repairs": Rule("staff", kwargs=look_kwargs),
    "looks:repair": Rule("staff", kwargs=lambda: look_kwargs() | {"number": 0}, fine=(200, 409)),
}
