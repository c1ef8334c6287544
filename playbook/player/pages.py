"""A player's pages: my week, its drawings, and the quiz."""

from __future__ import annotations

from django.core.cache import cache
from django.http import Http404, HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_POST, require_safe

import fits
from playbook import access, web
from playbook.models import ExpectedLook, QuizAnswer, Role, Week
from playbook.player import queries, services
from playbook.player import quiz as quizzing
from playbook.player.forms import AnswerForm
from playbook.week import queries as week_queries
from playbook.week import sheets, words

KEEP_S = 24 * 3600


@require_safe
@access.needs(Role.PLAYER)
def week(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Shows the player's week: his rules, and one card for every look."""
    asked = sheets.digest(pk, request.GET.get("call"), request.GET.get("as"))
    name = f"sheet-{queries.fingerprint(request.user.pk)}-{asked}"
    shown = cache.get(name)
    if shown is None:
        try:
            shown = _shown(_mine(request, pk))
        except queries.NoSheet as nothing:
            return web.page(request, "player/nothing.html", {"why": str(nothing)})
        cache.set(name, shown, KEEP_S)
    return web.page(request, "player/week.html", shown)


@require_safe
@access.needs(*access.EVERYONE)
def drawing(request: HttpRequest, week: int, look: int, digest: str) -> HttpResponse:
    """Shows one look from behind the defense, a man and his key in front. The address changes with the look."""
    role, name = request.GET.get("as", ""), request.GET.get("call", "")
    try:
        shown, call = _drawn_week(request, week, name, role)
        svg = sheets.draw_play(queries.play_of(shown, look, call), role)
    except (Week.DoesNotExist, ExpectedLook.DoesNotExist, fits.FitsError, KeyError) as missing:
        raise Http404 from missing
    response = HttpResponse(svg, content_type="image/svg+xml")
    patch_cache_control(response, private=True, max_age=KEEP_S * 365, immutable=True)
    return response


@require_safe
@access.needs(Role.PLAYER)
def quiz(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Asks one question about the player's own cards: the one he knows least."""
    try:
        mine = _mine(request, pk)
    except queries.NoSheet as nothing:
        return web.page(request, "player/nothing.html", {"why": str(nothing)})
    return _ask(request, mine)


@require_POST
@access.needs(Role.PLAYER)
def answer(request: HttpRequest, pk: int) -> HttpResponse:
    """Keeps an answer, says what is right, and asks the next question."""
    try:
        mine = _mine(request, pk)
    except queries.NoSheet as nothing:
        raise Http404 from nothing
    form = AnswerForm(request.POST)
    if not form.is_valid():
        seen = (_number(request.POST.get("look")), request.POST.get("ask", ""))
        return _ask(request, mine, form=form, seen=seen, status=422)
    asked = quizzing.find_question(_questions(mine), form.cleaned_data["look"], form.cleaned_data["ask"])
    if asked is None:
        raise Http404
    done = services.save_answer(mine.player_id, mine.week, mine.call.name, mine.role, asked, form.cleaned_data["given"])
    return _ask(request, mine, done=done, asked=asked)


def _questions(mine: queries.MyWeek) -> list[quizzing.Question]:
    looks = sheets.expected_looks(mine.week)
    sheet = sheets.make_sheet(mine.week, looks, mine.call, mine.role)
    return quizzing.all_questions(sheet, sheets.derive_plays(mine.week, looks, mine.call))


def _ask(
    request: HttpRequest, mine: queries.MyWeek, *, form: AnswerForm | None = None, done: QuizAnswer | None = None,
    asked: quizzing.Question | None = None, seen: tuple[int, str] | None = None, status: int = 200,
) -> HttpResponse:  # fmt: skip
    questions = _questions(mine)
    answers = queries.answers_of(mine.player_id, mine.week, mine.call.name)
    again = quizzing.find_question(questions, *seen) if seen else None
    following = again or quizzing.next_question(questions, answers, (asked.look_id, asked.ask) if asked else None)
    right, answered = queries.score(answers)
    context = {"mine": mine, "form": form, "done": done, "asked": asked, "question": following}
    context |= {"right": right, "answered": answered, "digest": mine.digest}
    return web.page(request, "player/quiz.html", context, partial="player/_quiz.html", status=status)


def _mine(request: HttpRequest, pk: int | None) -> queries.MyWeek:
    me = queries.mine(request.user)  # type: ignore[arg-type]
    try:
        return queries.my_week(me, pk, request.GET.get("call", ""), request.GET.get("as", ""))
    except Week.DoesNotExist as missing:
        raise Http404 from missing


def _shown(mine: queries.MyWeek) -> dict[str, str]:
    context = {
        "week": mine.week,
        "others": mine.others,
        "sheet": queries.my_sheet(mine),
        "calls": mine.calls,
        "roles": mine.roles,
        "corrections": mine.week.corrections,  # type: ignore[attr-defined]
        "caution": words.CAUTION,
        "sides": words.sides_note(mine.week.system),
        "digest": mine.digest,
    }
    return {"heading": f"{mine.role}, {mine.week}", "body": render_to_string("player/_week.html", context)}


def _drawn_week(request: HttpRequest, pk: int, name: str, role: str) -> tuple[Week, fits.Call]:
    week = week_queries.weeks().get(pk=pk)
    if not access.sees_week(request.user, week.released):
        raise Week.DoesNotExist
    call = sheets.calls_of(week)[name]
    position = next((r.position for r in call.roles if r.name == role), "")
    own = () if access.is_staff(request.user) else queries.mine(request.user).at(week)  # type: ignore[arg-type]
    if not access.sees_position(request.user, position, own):
        raise Week.DoesNotExist
    return week, call


def _number(text: str | None) -> int:
    return int(text) if text and text.isdigit() else 0
