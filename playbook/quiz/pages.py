"""The quiz: a player's questions, and what his coaches see of the answers."""

from __future__ import annotations

from uuid import uuid4

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

import fits
from playbook import access, web
from playbook.models import QuizAnswer, Rights, Week
from playbook.models.system import Group
from playbook.notes import queries as note_queries
from playbook.player import queries as players
from playbook.publishing import queries as publications
from playbook.publishing import services as publishing
from playbook.quiz import known as known_queries
from playbook.quiz import picking, queries, questions, services
from playbook.quiz.forms import AnswerForm, ClockForm, PlanForm
from playbook.text import whole_number
from playbook.week import queries as week_queries
from playbook.week import standing


@require_safe
@never_cache
@access.needs(Rights.PLAYER)
def mine(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """Asks the next question of the round, or says how it went."""
    try:
        quiz = _quiz(request, pk)
    except players.NoSheet as nothing:
        return _nothing(request, nothing)
    round_ = request.GET.get("round", "")
    known = bool(quiz.answered(round_))
    return _ask(request, quiz, round_ if known else str(uuid4()) if "new" in request.GET else quiz.open_round())


@require_POST
@access.needs(Rights.PLAYER)
def answer(request: HttpRequest, pk: int) -> HttpResponse:
    """Keeps an answer, and says what is right; what was right is followed by the next question at once.

    An answer to a card that has changed since it was asked about is neither right nor wrong: 409, and asked anew.
    """
    try:
        quiz = _quiz(request, pk)
    except players.Withdrawn as withdrawn:
        return _nothing(request, withdrawn, status=410)
    except players.NoSheet as nothing:
        raise Http404 from nothing
    form = AnswerForm(request.POST)
    if not form.is_valid():
        return _again(request, quiz, form)
    data = form.cleaned_data
    before = queries.kept(data["key"])
    if before is not None:
        return _done(request, quiz, before)
    round_, item = str(data["round"]), quiz.find(data["look"], data["call"], data["ask"])
    asked = quiz.question(item, round_) if item else None
    if asked is None or asked.state != data["state"]:
        return _ask(request, quiz, round_, changed=True, question=asked, status=409)
    given = "" if data["late"] else data["given"]
    done = services.save_answer(quiz.mine.player_id, asked, given, key=data["key"], round_=data["round"], at=data["at"])
    quiz = queries.MyQuiz(quiz.mine, quiz._plays, quiz._jobs)
    return _done(request, quiz, done)


@require_safe
@access.needs(Rights.PLAYER)
def steps(request: HttpRequest, pk: int, look: int) -> HttpResponse:
    """Says how the offense moves first in a question about a fit."""
    try:
        quiz = _quiz(request, pk)
    except players.NoSheet as nothing:
        raise Http404 from nothing
    item = quiz.find(look, request.GET.get("call", ""), "fit")
    asked = quiz.question(item, request.GET.get("round", "")) if item else None
    play = quiz.play(item) if item else None
    if item is None or asked is None or play is None:
        raise Http404
    try:
        return JsonResponse(questions.first_steps(quiz.weeks[item.week], play, asked))
    except fits.FitsError as error:
        raise Http404 from error


@require_safe
@access.needs(*access.STAFF)
def known(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows what is not known yet, by position and rule, and how each man did."""
    week = get_object_or_404(week_queries.weeks(), pk=pk)
    return web.page(request, "quiz/known.html", _desk(request, week))


@require_POST
@access.needs(*access.STAFF, writes=(*access.LEADS, Rights.POSITION))
def plan(request: HttpRequest, pk: int) -> HttpResponse:
    """Puts a rule that a position does not know into the plan of the next day."""
    week = get_object_or_404(week_queries.weeks(), pk=pk)
    form = PlanForm(request.POST)
    about = known_queries.find_rule(week, **form.cleaned_data) if form.is_valid() else None
    position = week.system.positions.filter(name=about.position).first() if about else None
    if about is None or position is None:
        messages.error(
            request, "Nobody has answered a question about that rule this week: nothing was put into the plan."
        )
        return web.go(request, reverse("quiz:known", args=[pk]))
    if not access.plans_for(request.user, position.group):
        return access.reads_only(request)
    text = f"{position}: {about.about or about.expected}"
    try:
        entry, new = services.put_into_plan(week, text, position.group, about.look, about.call, timezone.localdate())
    except services.NoDay as none:
        messages.error(request, str(none))
    else:
        messages.success(
            request, f"{entry.day}: “{entry}” {'is in the plan now' if new else 'was in the plan already'}."
        )
    return web.go(request, reverse("quiz:known", args=[pk]))


@require_POST
@access.needs(*access.STAFF)
def clock(request: HttpRequest, pk: int) -> HttpResponse:
    """Says how long there is for a question, in every quiz."""
    week = get_object_or_404(week_queries.weeks(), pk=pk)
    form = ClockForm(request.POST)
    if not form.is_valid():
        return web.invalid(request, "quiz/known.html", _desk(request, week) | {"clock_form": form})
    services.set_clock(form.cleaned_data["seconds"])
    messages.success(request, "The quiz has a clock now." if form.cleaned_data["seconds"] else "The quiz has no clock.")
    return web.go(request, reverse("quiz:known", args=[pk]))


def _desk(request: HttpRequest, week: Week) -> dict[str, object]:
    try:
        next_day = str(services.next_day(week, timezone.localdate()))
    except services.NoDay:
        next_day = ""
    return standing.of_week(week) | {
        "tab": "quiz",
        "new_notes": note_queries.unread(access.user_of(request)).filter(week=week).count(),
        "others": Week.objects.select_related("season", "opponent").order_by("-season__year", "-number"),
        "unknown": known_queries.known(week),
        "results": week_queries.quiz_results(week),
        "next_day": next_day,
        "plans": [group for group in Group.values if access.plans_for(request.user, group)],
        "leads": access.is_lead(request.user),
        "clock_form": ClockForm(initial={"seconds": queries.clock_s()}),
    }


def _quiz(request: HttpRequest, pk: int | None) -> queries.MyQuiz:
    me = players.mine(access.user_of(request))
    try:
        quiz = queries.MyQuiz(players.my_week(me, pk, role=request.GET.get("as", "")))
    except Week.DoesNotExist as missing:
        raise Http404 from missing
    if not publications.newest(quiz.mine.week):
        publishing.ensure(quiz.mine.week)
    if not quiz.jobs(quiz.mine.week):
        raise players.NotPublished(quiz.mine.week)
    return quiz


def _nothing(request: HttpRequest, nothing: players.NoSheet, status: int = 200) -> HttpResponse:
    if not isinstance(nothing, players.Withdrawn):
        return web.page(request, "player/nothing.html", {"why": str(nothing)})
    context = {"gone": nothing.gone, "others": nothing.others}
    return web.page(request, "player/withdrawn.html", context, partial="player/_withdrawn.html", status=status)


def _again(request: HttpRequest, quiz: queries.MyQuiz, form: AnswerForm) -> HttpResponse:
    """Asks the same once more, for an answer that cannot be kept."""
    look = whole_number(request.POST.get("look"))
    item = quiz.find(look, request.POST.get("call", ""), request.POST.get("ask", "")) if look else None
    round_ = str(form.cleaned_data.get("round") or uuid4())
    question = quiz.question(item, round_) if item else None
    return _ask(request, quiz, round_, form=form, question=question, status=422)


def _done(request: HttpRequest, quiz: queries.MyQuiz, done: QuizAnswer) -> HttpResponse:
    """Shows what was right: above the next question, or for a miss alone, with the rule and the picture."""
    if done.player_id != quiz.mine.player_id:
        raise Http404
    item = next((i for i in quiz.pool if i.key == (done.week_id, done.call.name, done.look_id, done.ask)), None)
    if done.right or item is None:
        return _ask(request, quiz, str(done.round), done=done)
    play, asked = quiz.play(item), quiz.question(item, str(done.round))
    context = _common(quiz, str(done.round)) | {"done": done, "asked": asked, "rule": item.about}
    context |= {"picture": questions.answer_picture(play, quiz.mine.role) if play and play.look else ""}
    return web.page(request, "quiz/missed.html", context, partial="quiz/_missed.html")


def _common(quiz: queries.MyQuiz, round_: str) -> dict[str, object]:
    answered = quiz.answered(round_)
    number = min(len(answered) + 1, picking.LENGTH)
    return {"mine": quiz.mine, "round": round_, "number": number, "length": picking.LENGTH, "answered": answered}


def _ask(
    request: HttpRequest, quiz: queries.MyQuiz, round_: str, *, form: AnswerForm | None = None,
    done: QuizAnswer | None = None, changed: bool = False, question: questions.Question | None = None,
    status: int = 200,
) -> HttpResponse:  # fmt: skip
    question = question or quiz.next(round_)
    context = _common(quiz, round_) | {"form": form, "done": done, "changed": changed, "question": question}
    context |= {"key": uuid4(), "clock": queries.clock_s()}
    if question is None:
        context["summary"] = queries.summary(quiz, round_)
    return web.page(request, "quiz/mine.html", context, partial="quiz/_mine.html", status=status)
