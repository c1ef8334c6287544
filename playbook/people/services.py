"""What changes people."""

from __future__ import annotations

import itertools
from io import BytesIO
from urllib.parse import quote

import segno
from django.contrib.auth.tokens import PasswordResetTokenGenerator
from django.db import transaction
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode
from django.utils.text import slugify

from playbook.models import AskedLink, Happening, Player, Rights, User
from playbook.people import log, queries

EDITED = ("username", "first_name", "last_name", "email", "role", "coaches", "is_active")


class LastAdmin(Exception):
    """The change would leave nobody who can run this installation."""


class AccessEnded(Exception):
    """The person may not sign in, or his password, role or right to sign in changed since he was read."""


def hold(person: User) -> None:
    """Locks the person's row to the transaction's end. Raises AccessEnded when his access ended since he was read."""
    same = User.objects.filter(pk=person.pk, access_stamp=person.access_stamp, is_active=True)
    if not same.select_for_update().exists():
        raise AccessEnded(f"{person} may not sign in, or has to sign in again.")


@transaction.atomic
def set_password(person: User, password: str) -> None:
    """Writes a new password and nothing else; log-ins, links and the token end. Raises AccessEnded."""
    hold(person)
    person.set_password(password)
    person.save(update_fields=["password"])
    log.write(Happening.PASSWORD, person)


@transaction.atomic
def save_person(person: User, by: User | None = None) -> User:
    """Writes a person, and into the log what he may do otherwise than before.

    Raises LastAdmin when the last active admin would stop being one.
    """
    list(User.objects.select_for_update().filter(role=Rights.ADMIN).order_by("pk"))
    keeps = person.role == Rights.ADMIN and person.is_active
    if person.pk and not keeps and queries.is_last_admin(person):
        raise LastAdmin("This is the last admin: make somebody else an admin first.")
    before = User.objects.filter(pk=person.pk).first()
    if person.pk:
        person.save(update_fields=EDITED)  # not the password: it may have been changed since this row was read
    else:
        if not person.password:
            person.set_unusable_password()
        person.save()
    if before is None or before.role != person.role:
        log.write(Happening.ROLE, by, about=f"{person.username}: {person.get_role_display()}")
    if before is not None and before.is_active != person.is_active:
        log.write(Happening.ACCESS, by, about=f"{person.username}: {'yes' if person.is_active else 'no'}")
    return person


@transaction.atomic
def make_log_in(player: Player) -> User:
    """Returns the man's log-in, made if he has none: a user name from his names, and no password. He asks no more."""
    player = Player.objects.select_for_update(of=("self",)).select_related("user").get(pk=player.pk)
    AskedLink.objects.filter(player=player).delete()
    if player.user is None:
        names = {"first_name": player.first_name, "last_name": player.last_name}
        player.user = save_person(User(username=_free_user_name(player), role=Rights.PLAYER, **names))
        player.save(update_fields=["user"])
    return player.user


def ask_for_link(player: Player) -> None:
    """Lets the coaches see that the man asks for a log-in link; asked again, it stays at the first time."""
    AskedLink.objects.get_or_create(player=player)


def _free_user_name(player: Player) -> str:
    words = [slugify(name, allow_unicode=True) for name in (player.first_name, player.last_name)]
    wanted = ".".join(word for word in words if word)[:140] or "player"
    taken = set(User.objects.filter(username__istartswith=wanted).values_list("username", flat=True))
    lower = {name.casefold() for name in taken}
    free = (name for name in itertools.chain([wanted], (f"{wanted}{n}" for n in itertools.count(2))))
    return next(name for name in free if name.casefold() not in lower)


@transaction.atomic
def shut_out(person: User) -> None:
    """Ends the person's log-ins everywhere, his open links and tokens, and his password if he has one."""
    person.set_unusable_password()
    person.save(update_fields=["password"])


class Links(PasswordResetTokenGenerator):
    """One-time links: good until used, until what the person may do changes, and for three days at most."""

    key_salt = "playbook.people.Links"

    def check_token(self, user: User | None, token: str | None) -> bool:
        """Returns whether the link is still good: to nobody who may not sign in."""
        return user is not None and user.is_active and super().check_token(user, token)

    def _make_hash_value(self, user: User, timestamp: int) -> str:
        return f"{super()._make_hash_value(user, timestamp)}{user.access_stamp}"


links = Links()


def log_in_path(person: User) -> tuple[str, str]:
    """Returns the two parts of a one-time link with which the person sets a password."""
    return urlsafe_base64_encode(force_bytes(person.pk)), links.make_token(person)


def qr_image(text: str) -> str:
    """Returns the text as a QR code, as the address of an image that the page can show."""
    out = BytesIO()
    segno.make(text, error="m").save(out, kind="svg", scale=5, border=4, light="#fff", xmldecl=False)
    return "data:image/svg+xml," + quote(out.getvalue().decode())
