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
    "people:log-in": Rule("anyone"),
    "people:ask": Rule("anyone"),
    "people:log-out": Rule("anyone", "post"),
    "people:password": Rule("everyone"),
    "people:welcome": Rule("anyone", kwargs=lambda: {"uidb64": "MQ", "token": "x-y"}),
}
