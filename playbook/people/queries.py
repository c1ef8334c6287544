"""What the people pages read."""

from django.db.models import Q, QuerySet

from playbook.models import Rights, User


def people_matching(words: str = "") -> QuerySet[User]:
    """Returns everyone whose name or user name holds the words, with the roster entry fetched along."""
    people = User.objects.select_related("player")
    for word in words.split():
        people = people.filter(
            Q(username__icontains=word) | Q(first_name__icontains=word) | Q(last_name__icontains=word)
        )
    return people


def is_last_admin(person: User) -> bool:
    """Returns whether nobody else could run this installation."""
    admins = User.objects.filter(role=Rights.ADMIN, is_active=True)
    return admins.filter(pk=person.pk).exists() and admins.count() == 1
