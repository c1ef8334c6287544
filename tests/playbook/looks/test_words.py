"""The words of the look page are the system's own."""

import pytest
from django.urls import reverse

from playbook.models import System
from tests.playbook.looks.made import look_kwargs

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("frame", "said", "never"),
    [
        ("strong-weak", "weak C", "boundary C"),
        ("own", "to the defense&#x27;s", "strong C"),
        ("play-back", "play side A", "weak A"),
    ],
)
def test_the_page_speaks_in_the_systems_frame(as_staff, frame, said, never):
    address = reverse("looks:detail", kwargs=look_kwargs())
    System.objects.update(frame=frame)
    text = as_staff.get(address).content.decode()
    assert said in text and never not in text
