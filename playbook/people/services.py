"""What changes people."""

from __future__ import annotations

from io import BytesIO
from urllib.parse import quote

import segno
from django.contrib.auth.tokens import default_token_generator
from django.db import transaction
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from playbook.models import Role, User
from playbook.people import queries


class LastAdmin(Exception):
    """The change would leave nobody who can run this installation."""


@transaction.atomic
def save_person(person: User) -> User:
    """Writes a person. Raises LastAdmin when the last active admin would stop being one."""
    list(User.objects.select_for_update().filter(role=Role.ADMIN).order_by("pk"))
    keeps = person.role == Role.ADMIN and person.is_active
    if person.pk and not keeps and queries.is_last_admin(person):
        raise LastAdmin("This is the last admin: make somebody else an admin first.")
    if not person.pk and not person.password:
        person.set_unusable_password()
    person.save()
    return person


def log_in_path(person: User) -> tuple[str, str]:
    """Returns the two parts of a one-time link with which the person sets a password."""
    return urlsafe_base64_encode(force_bytes(person.pk)), default_token_generator.make_token(person)


def qr_image(text: str) -> str:
    """Returns the text as a QR code, as the address of an image that the page can show."""
    out = BytesIO()
    segno.make(text, error="m").save(out, kind="svg", scale=5, border=4, light="#fff", xmldecl=False)
    return "data:image/svg+xml," + quote(out.getvalue().decode())
