"""Text that nobody expects, put wherever a text can stand; and a walk over every page that can be reached."""

from __future__ import annotations

import itertools
from collections import Counter, deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from io import BytesIO
from urllib.parse import urljoin, urlsplit

from django.apps import apps
from django.db import models, transaction
from django.urls import Resolver404, resolve
from django.utils import timezone

from playbook import convert, demo
from playbook.charts import services as charts
from playbook.models import Chart, ExpectedLook, Export, Note, Option, Position, QuizAnswer, System, User, Week
from playbook.proof import expected as looks
from playbook.system import services
from playbook.week import sheets

TEXTS = (
    "Our Base 2026",
    "a/b//c/",
    "../..",
    ".",
    "“Quotes” \"double\" 'single' `back`",
    "<script>alert(1)</script>&amp;<b>",
    "{{ 7|add:7 }}{% url 'x' %}",
    "%2F%00%zz?a=b&c#d;e",
    "שלום 57 לכולם",
    "\u202eright to left\u2066",
    "Z\u0337\u0321a\u0316l\u0358go e\u0301",
    "🏈👩🏽‍🚒🇺🇳",
    "中央の壁 東西",
    "back\\slash|bar|~^$.*+[(",
    "-1",
    "0",
    "None",
    "  two  spaces  ",
    "\u200b",
    "\ufffe\U000e0fff\ue000",
    "a\nb\r\nc\td",
    "'; DROP TABLE playbook_week; --",
    "@#$,;:",
    "x" * 6_000,
)
# What the engine itself reads is not a name: conditions, targets, the words of closed lists.
ENGINE = {
    "who", "when", "at", "reads", "fit", "leverage", "takes", "part", "does", "step", "where", "eyes", "kind", "role",
    "gap", "personnel", "digest", "password", "man", "shade", "ask", "direction", "hole", "motion", "strength", "hash",
    "back", "play_type", "zone", "course", "why", "old_id", "with_personnel",
}  # fmt: skip
_turn = itertools.cycle(TEXTS)


def some_text(most: int, number: int) -> str:
    """The next text, cut to fit, and different for every number."""
    text = next(_turn)
    tail = f" {number}" if most > 20 else f"{number}"
    return text[: most - len(tail)] + tail


def make_world() -> dict[str, User]:
    """Loads the demo with one of everything; returns its people by role."""
    demo.load()
    coach = User.objects.get(username="coach")
    for week in Week.objects.exclude(opponent=None):
        looks.take_looks(week, guesses=True)
    convert.copy_system(System.objects.get(weeks__number=2), "variant", "A variant")
    week = Week.objects.get(number=2)
    Export.objects.create(
        document="install", week=week, title="x", made_by_name="x", state="done", content=b"%PDF-1.7", made_by=coach
    )
    rows = "Formation,Play,R/P\n" + "".join(f'"{text[:80]}",{n},R\n' for n, text in enumerate(TEXTS) if '"' not in text)
    chart = charts.add_chart(week.opponent, "chart.csv", len(rows.encode()), [rows.encode()], coach)
    charts.map_chart(chart, chart.version, chart.mapping, chart.yard_style)
    charts.read_chart(chart.pk)
    assert Chart.objects.get(pk=chart.pk).taken > 10
    call = next(iter(sheets.calls_of(week).values()))
    QuizAnswer.objects.create(
        player=User.objects.get(username="player").player, week=week, look=week.expected_looks.first(),
        call=week.system.calls.get(name=call.name), role="N", position="N",
        ask="fit", rule="N1", about="x", given="x", expected="y", right=False,
    )  # fmt: skip
    names = {"admin": "admin", "staff": "coach", "player": "player"}
    people = {role: User.objects.get(username=name) for role, name in names.items()}
    for author in (people["admin"], people["staff"], people["staff"]):
        written = Note.objects.create(week=week, author=author, author_name="x", text="x")
    Note.objects.filter(pk=written.pk).update(deleted_at=timezone.now())  # what can be brought back
    return people


def rename_everything() -> None:
    """Gives every row of every table texts that nobody expects, as an import or an older version may have left them."""
    for system in System.objects.all():
        rows = [
            {"name": f"{text}{n}", "was": p.name} | {k: getattr(p, k) for k in ("group", "side", "label")}
            for n, (p, text) in enumerate(
                zip(system.positions.all(), itertools.cycle(("a/", ".", "é ", "🏈", "<b>", "%2", "#", "ש", "'\"", "-")))
            )
        ]
        services.carry_out(system, lambda system=system, rows=rows: services.write_positions(system, rows))
    options = dict(Option.objects.values_list("name", "pk"))
    for model in apps.get_app_config("playbook").get_models():
        if not model.__name__.endswith("Event"):
            _rename_rows(model)
    now = dict(Option.objects.values_list("pk", "name"))
    for look in ExpectedLook.objects.exclude(options=[]):
        ExpectedLook.objects.filter(pk=look.pk).update(options=[now[options[name]] for name in look.options])


def _rename_rows(model: type[models.Model]) -> None:
    texts = [
        f
        for f in model._meta.concrete_fields
        if isinstance(f, models.CharField | models.TextField) and not f.choices and f.name not in ENGINE
    ]
    if model is Position:
        texts = [f for f in texts if f.name != "name"]
    if model._meta.model_name == "technique":
        texts = [f for f in texts if f.name != "label"]
    rows = model._default_manager.all()
    if model._meta.model_name == "techniquescheme":
        rows = rows.filter(inline=True)  # the others are known by their names
    if not texts:
        return
    for number, row in enumerate(rows.order_by("pk")[:400]):
        values = {f.name: some_text(f.max_length or 5_000, number) for f in texts if getattr(row, f.name) is not None}
        model._default_manager.filter(pk=row.pk).update(**values)


@dataclass
class Form:
    """A form of a page: where it goes, and its fields."""

    action: str
    method: str
    fields: list[tuple[str, str]] = field(default_factory=list)
    texts: set[str] = field(default_factory=set)
    files: set[str] = field(default_factory=set)
    others: set[str] = field(default_factory=set)  # where its buttons send it instead

    def filled(self, text: str | None = None) -> dict[str, object]:
        """What a browser would send; with a text, that in every field that takes one."""
        sent: dict[str, list[object]] = {}
        for name, value in self.fields:
            sent.setdefault(name, []).append(text if text is not None and name in self.texts else value)
        for name in self.files:
            file = BytesIO((text or "a,b\n1,2\n").encode("utf-8", "replace"))
            file.name = (text or "chart.csv")[:200]
            sent[name] = [file]
        return dict(sent)


class Page(HTMLParser):
    """The addresses and the forms of a page."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.links: list[str] = []
        self.forms: list[Form] = []
        self._form: Form | None = None
        self._area: str | None = None
        self._select: tuple[str, list[tuple[str, bool]]] | None = None
        self._said = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        a = {key: value or "" for key, value in attrs}
        self.links += [a[key] for key in ("href", "src", "hx-get") if key in a]
        self.links += [link for key in ("data-play", "data-place") for link in a.get(key, "").split()]
        if tag == "form":
            self._form = Form(a.get("action", ""), a.get("method", "get").lower())
            self.forms.append(self._form)
        if self._form is None:
            return
        self._form.others |= {a[key] for key in ("formaction", "hx-post") if a.get(key)}
        name = a.get("name", "")
        if tag == "textarea":
            self._area, self._said = name, ""
            self._form.texts.add(name)
        elif tag == "select":
            self._select = (name, [])
        elif tag == "option" and self._select:
            self._select[1].append((a.get("value", ""), "selected" in a))
        elif tag in ("input", "button") and name:
            self._input(a, name, tag)

    def _input(self, a: dict[str, str], name: str, tag: str) -> None:
        assert self._form is not None
        kind = a.get("type", "submit" if tag == "button" else "text")
        if kind == "file":
            self._form.files.add(name)
        elif kind in ("checkbox", "radio") and "checked" not in a:
            return
        else:
            self._form.fields.append((name, a.get("value", "")))
            if kind in ("text", "search", "hidden", "email", "password"):
                self._form.texts.add(name)

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._said += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._form = None
        elif tag == "textarea" and self._form and self._area is not None:
            self._form.fields.append((self._area, self._said))
            self._area = None
        elif tag == "select" and self._form and self._select:
            name, options = self._select
            chosen = [value for value, on in options if on] or [value for value, _ in options][:1]
            self._form.fields += [(name, value) for value in chosen]
            self._select = None


@dataclass
class Walk:
    """Everything one person can reach: which named addresses were asked, and what went wrong."""

    client: object
    most: int = 2
    only: tuple[str, ...] = ("",)
    odd: int = 2  # how many unexpected texts each form is sent
    hear: Callable[[str, object], None] = lambda address, answer: None
    seen: set[str] = field(default_factory=set)
    names: Counter[str] = field(default_factory=Counter)
    troubles: list[str] = field(default_factory=list)

    def go(self, *first: str) -> Walk:
        """Follows every link from there on and sends every form, a few of each kind."""
        waiting = deque([*first, "/"])
        while waiting:
            address = waiting.popleft()
            name = self._name(address)
            if name is None or not name.startswith(self.only) or address in self.seen or self.names[name] >= self.most:
                continue
            self.seen.add(address)
            self.names[name] += 1
            response = self._ask("get", address)
            if response is None or "text/html" not in response.get("content-type", ""):
                continue
            page = Page(response.content.decode())
            waiting += [urljoin(address, link) for link in page.links if not link.startswith(("#", "data:"))]
            for form in page.forms:
                for action in (form.action, *sorted(form.others)):
                    self._send(urljoin(address, action or address), form)
        return self

    def _send(self, action: str, form: Form) -> None:
        name = self._name(action)
        key = f"{form.method} {name}"
        if name is None or name == "people:log-out" or self.names[key] >= 2 * self.most:
            return
        self.names[key] += 1
        self._ask(form.method, action, form.filled())
        for text in itertools.islice(_turn, self.odd):
            self._ask(form.method, action, form.filled(text))
        self._ask(form.method, action, form.filled("a\0b"))

    def _ask(self, method: str, address: str, data: object = None) -> object:
        """The answer; nothing that was sent stays, what a page has counted does: forms need not count it again."""
        with transaction.atomic():
            try:
                with transaction.atomic():
                    response = getattr(self.client, method)(address, data)
            except Exception as error:  # whatever it is, it is the program's fault
                said = {k: v[:1] for k, v in (data or {}).items()} if isinstance(data, dict) else ""
                self.troubles.append(
                    f"{method} {address} {str(said)[:300]}: {type(error).__name__}: {str(error)[:300]}"
                )
                response = None
            transaction.set_rollback(method != "get" or response is None)
        if response is not None and response.status_code >= 500:
            self.troubles.append(f"{method} {address}: {response.status_code}")
        if response is not None:
            self.hear(f"{method} {address}", response)
        return response

    @staticmethod
    def _name(address: str) -> str | None:
        parts = urlsplit(address)
        if parts.netloc or parts.scheme not in ("", "http"):
            return None
        try:
            return resolve(parts.path).view_name
        except Resolver404:
            return None


def url_names(patterns, space: str = "") -> Iterator[tuple[str, object]]:
    """Every named address with its pattern."""
    for entry in patterns:
        if hasattr(entry, "url_patterns"):
            yield from url_names(entry.url_patterns, f"{space}{entry.namespace}:" if entry.namespace else space)
        else:
            yield f"{space}{entry.name}", entry
