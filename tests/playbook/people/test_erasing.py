"""One person's data: all of it handed out, all of it erased, and erased again after a restore."""

import json
from datetime import timedelta

import pytest
from django.core.management import CommandError, call_command

from playbook.api import tokens
from playbook.models import (
    AccessEntry,
    ErasedPerson,
    FitGrade,
    Happening,
    Note,
    Player,
    QuizAnswer,
    RosterSpot,
    SheetOpening,
    User,
)
from playbook.people import erasing, log
from tests.playbook.week.made import make_week, put_at

pytestmark = pytest.mark.django_db
WORDS = ("ardmoor", "pell", "the-player", "10.7.7.7")


@pytest.fixture
def man(player):
    man = player.player
    put_at(man, "M")
    week = make_week(pairs=[("11-doubles", "power")])
    FitGrade.objects.create(week=week, player=man, correction="Eyes up.")
    QuizAnswer.objects.create(
        player=man, week=week, look=week.expected_looks.get(), call=week.system.calls.first(), role="M", ask="fit",
        given="x", expected="y", right=False,
    )  # fmt: skip
    SheetOpening.objects.create(player=man, week=week, at="2031-09-01T10:00Z")
    Note.objects.create(author=player, author_name="Pell Ardmoor", text="Which gap?")
    log.write(Happening.SIGNED_IN, player, address="10.7.7.7")
    tokens.make_token(player)
    return man


def everything():
    """Every text of every table of ours, in small letters."""
    from django.apps import apps

    found = []
    for model in apps.get_models():
        if model._meta.managed and not model._meta.proxy:
            for row in model._default_manager.values_list():
                texts = [value for value in row if isinstance(value, str | dict | list)]
                found += [f"{model._meta.label}: {text}".lower() for text in texts]
    return found


def kept_of():
    return [text for text in everything() if any(word in text.split(": ", 1)[1] for word in WORDS)]


def test_all_of_it_is_handed_out_without_secrets(man, capsys):
    call_command("person", "the-player")
    said = capsys.readouterr().out
    found = json.loads(said)
    assert found["player"][0]["last_name"] == "Ardmoor" and found["person"][0]["username"] == "the-player"
    assert "Eyes up." in said and "Which gap?" in said and "10.7.7.7" in said and found["history of players"]
    assert "password" not in found["person"][0] and "digest" not in found["tokens"][0]


def test_all_of_it_is_erased_in_every_table(man, player):
    assert kept_of(), "the search finds what is there"
    gone = erasing.erase(player, man)
    assert kept_of() == []
    assert not User.objects.filter(pk=gone.user).exists() and not RosterSpot.objects.exists()
    assert Note.objects.get().author_name == erasing.GONE, "what he wrote for the staff stays"


def test_a_restore_erases_again_and_touches_nobody_else(man, player):
    other = User.objects.create_user("other")
    gone = erasing.erase(player, man)
    back = User(pk=gone.user, username="the-player", date_joined=gone.made_at)
    back.save(force_insert=True)
    Player.objects.create(pk=gone.player, user=back, first_name="Pell", last_name="Ardmoor")
    assert erasing.erase_again([gone]) == 1
    assert not Player.objects.exists() and list(User.objects.all()) == [other]
    assert ErasedPerson.objects.count() == 1
    stranger = User(pk=gone.user, username="stranger", date_joined=gone.made_at + timedelta(days=1))
    stranger.save(force_insert=True)
    assert erasing.erase_again([gone]) == 0, "another person who got the same number stays"


def test_a_player_without_a_log_in(capsys):
    man = Player.objects.create(first_name="Ulric", last_name="Tannermoor")
    call_command("person", "--player", man.pk, "--erase")
    assert not Player.objects.exists()
    assert not Player.pgh_event_models["insert"].objects.exists()
    with pytest.raises(CommandError, match="nobody like that"):
        call_command("person", "--player", man.pk)


def test_the_last_admin_stays(admin):
    with pytest.raises(CommandError, match="last admin"):
        call_command("person", "the-admin", "--erase")
    assert AccessEntry.objects.count() == 0
