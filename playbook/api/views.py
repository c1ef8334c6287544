"""The API's addresses for rows, one class each."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework.decorators import action
from rest_framework.request import Request
from rest_framework.response import Response

from playbook import access, convert
from playbook.api import serializers, services
from playbook.api.params import Param
from playbook.api.problems import writing
from playbook.api.row_views import ID, EntryRows, Reads, Rows, RuleRows, SystemRows
from playbook.models import (
    AlignRule,
    BlockRule,
    Call,
    CastPart,
    Concept,
    Coverage,
    Day,
    ExpectedLook,
    FitRule,
    ForceRule,
    Formation,
    FormationPlayer,
    Front,
    Group,
    KeyRule,
    LeftMan,
    MenuCall,
    Motion,
    Opponent,
    Option,
    PlanEntry,
    Player,
    Position,
    RosterSpot,
    Season,
    System,
    TakeRule,
    TechniqueScheme,
    ThreatRule,
    Week,
)
from playbook.models.offense import CONCEPT_ROWS
from playbook.system import services as system_services
from playbook.system.services import Refused, carry_out
from playbook.week import services as week_services
from playbook.week import sheets

SYSTEM = Param("system", int)
NAME = Param("name")
GROUP = Param("group", choices=tuple(Group.values))
WEEK = Param("week", int)
WHO = Param("who", description="A position, as the rule names it.")
OPPONENT = Param("opponent", int)
LIBRARY = Param("library", bool, "True: the staff's own entries; false: opponents'.", lookup="opponent__isnull")
RULES = (Param("front", int), Param("coverage", int), WHO)
COVERAGE_RULES = (Param("coverage", int), WHO)
CONCEPT_INNER = ((CastPart, "concept"), (BlockRule, "concept"), (ThreatRule, "concept"), (LeftMan, "concept"))
OPTION_INNER = ((CastPart, "option"), (BlockRule, "option"), (ThreatRule, "option"), (LeftMan, "option"))


class Schemes(Reads):
    """What technique numbers mean."""

    rows = TechniqueScheme.objects.prefetch_related("techniques")
    serializer_class = serializers.SchemeSerializer
    filters = (NAME,)


class Systems(Rows):
    """Systems. A new one is a file, or a variant of one that is there."""

    rows = System.objects.select_related("scheme")
    serializer_class = serializers.SystemSerializer
    filters = (NAME, Param("base", int, "Variants of that system."))

    @extend_schema(request=serializers.SystemFile, responses={201: serializers.SystemSerializer})
    def create(self, request: Request) -> Response:
        """Adds the system that a file describes."""
        given = serializers.SystemFile(data=request.data)
        given.is_valid(raise_exception=True)
        with writing():
            made = services.read_file(given.validated_data["file"])
        return Response(self.get_serializer(made).data, status=201)

    def keep(self, row: Any, values: dict[str, Any], write: Any) -> Any:
        """Carries out a write if the engine takes what it makes of the system."""
        with writing():
            return carry_out(row, write) if values else write()

    @extend_schema(parameters=[ID], responses=serializers.SystemFile, filters=False)
    @action(detail=True, permission_classes=[access.StaffOnly])
    def file(self, request: Request, pk: str) -> Response:
        """Answers with the whole system as one file."""
        return Response({"file": convert.export_system(self.get_object())})

    @extend_schema(parameters=[ID], request=serializers.SystemCopy, responses={201: serializers.SystemSerializer})
    @action(detail=True, methods=["post"])
    def copy(self, request: Request, pk: str) -> Response:
        """Adds a variant with the same rules."""
        system = self.get_object()
        given = serializers.SystemCopy(data=request.data)
        given.is_valid(raise_exception=True)
        made = system_services.copy_system(system, **given.validated_data)
        return Response(self.get_serializer(made).data, status=201)


class Positions(SystemRows):
    """The staff's labels for defenders."""

    rows = Position.objects.select_related("system")
    serializer_class = serializers.PositionSerializer
    filters = (SYSTEM, NAME, GROUP)

    def change(self, row: Any, seen: int, values: dict[str, Any]) -> Any:
        """Changes a position, and its name in the rules."""
        return services.change_position(row, seen, values)


class Fronts(SystemRows):
    """Fronts."""

    rows = Front.objects.select_related("system")
    serializer_class = serializers.FrontSerializer
    filters = (SYSTEM, NAME)


class Coverages(SystemRows):
    """Coverages."""

    rows = Coverage.objects.select_related("system")
    serializer_class = serializers.CoverageSerializer
    filters = (SYSTEM, NAME)


class Calls(SystemRows):
    """Calls."""

    rows = Call.objects.select_related("system")
    serializer_class = serializers.CallSerializer
    filters = (SYSTEM, NAME, Param("front", int), Param("coverage", int))


class AlignRules(RuleRows):
    """Where men line up."""

    rows = AlignRule.objects.select_related("front__system", "coverage__system")
    serializer_class = serializers.AlignRuleSerializer
    filters = RULES


class KeyRules(RuleRows):
    """Whom men read."""

    rows = KeyRule.objects.select_related("front__system", "coverage__system")
    serializer_class = serializers.KeyRuleSerializer
    filters = RULES


class FitRules(RuleRows):
    """Where men fit."""

    rows = FitRule.objects.select_related("front__system", "coverage__system")
    serializer_class = serializers.FitRuleSerializer
    filters = (*RULES, Param("rule_id"), Param("old_id", str, "An id the rule had before.", lookup="aliases__old_id"))


class TakeRules(RuleRows):
    """Pass duties."""

    rows = TakeRule.objects.select_related("coverage__system")
    serializer_class = serializers.TakeRuleSerializer
    filters = COVERAGE_RULES
    parents = ("coverage",)


class ForceRules(RuleRows):
    """Force players."""

    rows = ForceRule.objects.select_related("coverage__system")
    serializer_class = serializers.ForceRuleSerializer
    filters = COVERAGE_RULES
    parents = ("coverage",)


class Formations(EntryRows):
    """Formations, each with its men."""

    rows = Formation.objects.prefetch_related("players")
    serializer_class = serializers.FormationSerializer
    filters = (NAME, OPPONENT, LIBRARY, Param("personnel"))
    inner = ((FormationPlayer, "formation"),)


class Motions(EntryRows):
    """Motions and shifts."""

    rows = Motion.objects.all()
    serializer_class = serializers.MotionSerializer
    filters = (NAME, OPPONENT, LIBRARY, Param("kind", choices=("motion", "shift")))


class Concepts(EntryRows):
    """Run concepts, each with its rules."""

    rows = Concept.objects.prefetch_related(*CONCEPT_ROWS)
    serializer_class = serializers.ConceptSerializer
    filters = (NAME, OPPONENT, LIBRARY, Param("family"))
    inner = CONCEPT_INNER


class Options(EntryRows):
    """Options, each with its rules."""

    rows = Option.objects.prefetch_related(*CONCEPT_ROWS)
    serializer_class = serializers.OptionSerializer
    filters = (NAME, OPPONENT, LIBRARY, Param("side", choices=("offense", "defense")))
    inner = OPTION_INNER


class Opponents(Rows):
    """Opponents and their menus."""

    rows = Opponent.objects.prefetch_related("formations", "concepts", "motions")
    serializer_class = serializers.OpponentSerializer
    filters = (NAME,)


class Seasons(Rows):
    """Seasons."""

    rows = Season.objects.all()
    serializer_class = serializers.SeasonSerializer
    filters = (Param("year", int, most=9999),)


class Weeks(Rows):
    """Weeks of preparation."""

    rows = Week.objects.select_related("season", "system")
    serializer_class = serializers.WeekSerializer
    filters = (Param("season", int), OPPONENT, SYSTEM, Param("released", bool), Param("number", int, least=0, most=30))

    def change(self, row: Any, seen: int, values: dict[str, Any]) -> Any:
        """Changes a week; another system keeps the menu's calls by name."""
        try:
            week_services.change_week(row, seen, values)
        except week_services.KeepsSystem as error:
            raise Refused(str(error), "system") from error
        return row


class Days(Rows):
    """Days of a week's work."""

    rows = Day.objects.select_related("week")
    serializer_class = serializers.DaySerializer
    filters = (WEEK,)
    parents = ("week",)


class MenuCalls(Rows):
    """The week's call menu."""

    rows = MenuCall.objects.select_related("week", "call")
    serializer_class = serializers.MenuCallSerializer
    filters = (WEEK, Param("call", int), Param("down", int, most=4))
    parents = ("week",)


class ExpectedLooks(Rows):
    """The looks to expect in a week."""

    rows = ExpectedLook.objects.select_related("week__system", "week__season", "formation", "concept", "motion")
    serializer_class = serializers.ExpectedLookSerializer
    filters = (WEEK, Param("formation", int), Param("concept", int), Param("pinned", bool))
    parents = ("week",)

    def keep(self, row: Any, values: dict[str, Any], write: Any) -> Any:
        """Carries out a write if the look can be lined up and run."""

        def write_and_try() -> Any:
            written = write()
            if values:
                self._refuse_what_cannot_be_run(written)
            return written

        return super().keep(row, values, write_and_try)

    def _refuse_what_cannot_be_run(self, written: Any) -> None:
        look = self.rows.get(pk=written.pk)
        call = next(iter(convert.calls_of(look.week.system).values()), None)
        trouble = sheets.trouble_with(look.week, look, call) if call else ""
        if trouble:
            raise Refused(trouble, "concept")


class PlanEntries(Rows):
    """The week's plan."""

    rows = PlanEntry.objects.select_related("day__week")
    serializer_class = serializers.PlanEntrySerializer
    filters = (Param("week", int, lookup="day__week"), Param("day", int), GROUP)
    parents = ("day",)


class Players(Rows):
    """The roster; a player reads his own entry."""

    rows = Player.objects.all()
    serializer_class = serializers.PlayerSerializer
    filters = (Param("active", bool), Param("number", int, least=0, most=99), Param("last_name"))


class RosterSpots(Rows):
    """Who plays where."""

    rows = RosterSpot.objects.select_related("position")
    serializer_class = serializers.RosterSpotSerializer
    filters = (Param("player", int), Param("position", int), Param("system", int, lookup="position__system"))
    parents = ("position",)
