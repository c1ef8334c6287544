"""Who may use the people pages."""

from playbook.models import User
from tests.playbook.access_rule import Rule


def _someone():
    return {"pk": User.objects.create_user("someone").pk}


TABLE = {
    "people:list": Rule("admin"),
    "people:add": Rule("admin"),
    "people:edit": Rule("admin", kwargs=_someone),
    "people:link": Rule("admin", "post", kwargs=_someone),
    "people:sign-out-person": Rule("admin", "post", kwargs=_someone),
    "people:take-second": Rule("admin", "post", kwargs=_someone),
    "people:log": Rule("admin"),
    "people:sign-ins": Rule("everyone"),
    "people:sign-out-elsewhere": Rule("everyone", "post"),
    "people:second": Rule("staff", saves="staff"),
    "people:second-setup": Rule("staff", saves="staff"),
    "people:second-leave": Rule("staff", "post", saves="staff"),
    "people:log-in": Rule("anyone"),
    "people:ask": Rule("anyone"),
    "people:log-out": Rule("anyone", "post"),
    "people:password": Rule("everyone"),
    "people:welcome": Rule("anyone", kwargs=lambda: {"uidb64": "MQ", "token": "x-y"}),
}
