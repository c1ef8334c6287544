"""The backup of every night: whole, the oldest let go, and its age told."""

from datetime import timedelta
from unittest.mock import patch

import pytest
from django.urls import reverse
from django.utils import timezone

from playbook import tasks
from playbook.backups import nightly
from playbook.models import User


@pytest.mark.django_db(transaction=True)
def test_it_is_made_read_again_and_the_oldest_goes(tmp_path, monkeypatch):
    monkeypatch.setenv("LANEPROOF_BACKUPS", str(tmp_path / "kept"))
    (tmp_path / "kept").mkdir()
    for day in range(1, nightly.KEPT + 1):
        (tmp_path / "kept" / f"laneproof-2020-01-{day:02}-022000.backup").write_bytes(b"old")
    tasks.back_up_nightly(timestamp=0)
    found = sorted(path.name for path in (tmp_path / "kept").iterdir())
    assert len(found) == nightly.KEPT and "laneproof-2020-01-01-022000.backup" not in found
    newest = tmp_path / "kept" / found[-1]
    assert newest.stat().st_mode & 0o077 == 0
    with nightly.files.opened(str(newest)) as archive:
        assert archive.manifest.rows > 0


@pytest.mark.django_db(transaction=True)
def test_one_that_fails_leaves_nothing_and_the_others_stay(tmp_path, monkeypatch):
    monkeypatch.setenv("LANEPROOF_BACKUPS", str(tmp_path))
    (tmp_path / "laneproof-2020-01-01-022000.backup").write_bytes(b"old")
    full = patch.object(nightly.services, "back_up", side_effect=OSError("No space left on device"))
    with full, pytest.raises(OSError, match="No space"):
        nightly.back_up()
    assert [path.name for path in tmp_path.iterdir()] == ["laneproof-2020-01-01-022000.backup"]


@pytest.mark.django_db
def test_an_admin_is_warned_when_it_is_old_and_nobody_else(client, admin, staff):
    def warned(person):
        client.force_login(person)
        return "last backup is older" in client.get(reverse("home:start")).content.decode()

    assert not warned(admin), "of the first two days"
    User.objects.update(date_joined=timezone.now() - timedelta(days=3))
    admin.refresh_from_db()
    assert warned(admin) and not warned(staff)
    with patch.object(nightly, "last_good", return_value=timezone.now() - timedelta(hours=20)):
        assert not warned(admin)
        assert "The last good one" in client.get(reverse("installation:show")).content.decode()
