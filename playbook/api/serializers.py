"""Rows as JSON, and JSON checked as far as its shape goes; its meaning is judged by the services and the engine."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from fits.notation.toml import MOST_CHARACTERS
from playbook import access
from playbook.api.fields import MAPPING, Key, Name, Number, Words, YesNo
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
    Technique,
    TechniqueScheme,
    ThreatRule,
    Week,
)
from playbook.names import free_name

PLACE = "Place in its list, from 0; last when left out."
ORDER = {"required": False, "min_value": 0, "max_value": 100_000, "help_text": PLACE}


class StrictMixin:
    """Refuses keys that are not known. Mixed into a serializer."""

    def to_internal_value(self, data: Any) -> Any:
        """Returns the checked values. Raises ValidationError."""
        fields = self.fields  # type: ignore[attr-defined]
        if isinstance(data, dict):
            self._refuse_unknown(data, fields)
        return super().to_internal_value(data)  # type: ignore[misc]

    def _refuse_unknown(self, data: dict[str, Any], fields: Iterable[str]) -> None:
        unknown = [name for name in data if name not in fields and name != "version"]
        if unknown:
            told = f"This key is not known. Expected one of {', '.join(fields)}."
            raise serializers.ValidationError({name: [told] for name in unknown}, code="unknown")


class RowSerializer(StrictMixin, serializers.ModelSerializer):
    """A row. What the database can judge by itself, such as what may be there only once, is left to it."""

    serializer_field_mapping = MAPPING
    serializer_related_field = Key

    def get_validators(self) -> list[Any]:
        """Returns none: the database's constraints decide."""
        return []

    def get_uniqueness_extra_kwargs(self, field_names: Any, declared_fields: Any, extra_kwargs: Any) -> Any:
        """Returns the field's own settings, untouched by constraints."""
        return extra_kwargs, {}

    def chosen(self, attrs: dict[str, Any], name: str) -> Any:
        """Returns the value a field will have: the given one, else the present one."""
        if name in attrs:
            return attrs[name]
        return getattr(self.instance, name) if self.instance is not None else None


MADE = "Identifier; made from the label when left out."
WORDS = "What people call it."


class LabelledSerializer(RowSerializer):
    """A row with what people call it, `label`, and an identifier, `name`."""

    def get_extra_kwargs(self) -> dict[str, Any]:
        """Returns the fields' settings: the identifier can be left out, the label of a new row cannot."""
        extra = super().get_extra_kwargs()
        for name, needed, told in (("name", False, MADE), ("label", True, WORDS)):
            extra[name] = {"required": needed, "help_text": told, **extra.get(name, {})}
        return extra

    def to_internal_value(self, data: Any) -> Any:
        """Returns the values of the row, with the identifier it gets. Raises ValidationError."""
        values = super().to_internal_value(data)
        if self.instance is None and "name" not in values:
            owner = {key: values.get(key) for key in ("system", "opponent") if key in self.fields}
            values["name"] = free_name(self.Meta.model, values["label"], **owner)  # type: ignore[attr-defined]
        return values


class NotedSerializer(RowSerializer):
    """A row whose note is for staff; to anybody else it is empty."""

    def to_representation(self, instance: Any) -> dict[str, Any]:
        """Returns the row as this person may read it."""
        out = super().to_representation(instance)
        request = self.context.get("request")
        if request is None or not access.sees_notes(request.user):
            out["note"] = ""
        return out


def wrong(key: str, text: str) -> serializers.ValidationError:
    """Returns the error that a well-formed value cannot be used."""
    return serializers.ValidationError({key: [text]}, code="refused")


# The system


class TechniqueSerializer(RowSerializer):
    """One technique number."""

    class Meta:
        model = Technique
        fields = ["label", "man", "shade", "gap"]


class SchemeSerializer(LabelledSerializer):
    """What technique numbers mean."""

    techniques = TechniqueSerializer(many=True, read_only=True)

    class Meta:
        model = TechniqueScheme
        fields = ["id", "version", "name", "label", "source", "inline", "techniques"]


class SystemSerializer(LabelledSerializer):
    """A system's head; `revision` rises with every change to anything in it."""

    class Meta:
        model = System
        fields = ["id", "version", "revision", "name", "label", "source", "frame", "scheme", "base"]
        read_only_fields = ["base"]


class SystemFile(StrictMixin, serializers.Serializer):
    """A whole system as one file."""

    file = Words(max_length=MOST_CHARACTERS, trim_whitespace=False, help_text="The file's text, TOML.")


class SystemCopy(StrictMixin, serializers.Serializer):
    """How a variant of a system is called."""

    name = Name(max_length=60, required=False, default="", help_text=MADE)
    label = Words(max_length=120, help_text=WORDS)


class PositionSerializer(RowSerializer):
    """A position. A new name is carried into the rules that name it."""

    class Meta:
        model = Position
        fields = ["id", "version", "order", "system", "name", "group", "side", "label", "v_yd_s", "tau_s"]
        extra_kwargs = {
            "order": ORDER,
            "v_yd_s": {"min_value": 3, "max_value": 14},
            "tau_s": {"min_value": 0.2, "max_value": 2},
        }


class FrontSerializer(LabelledSerializer):
    """A front; its rules are lists of their own."""

    class Meta:
        model = Front
        fields = ["id", "version", "order", "system", "name", "label", "strength"]
        extra_kwargs = {"order": ORDER}


class CoverageSerializer(LabelledSerializer):
    """A coverage; its rules are lists of their own."""

    class Meta:
        model = Coverage
        fields = ["id", "version", "order", "system", "name", "label"]
        extra_kwargs = {"order": ORDER}


class CallSerializer(LabelledSerializer):
    """A call: a front and a coverage of the same system."""

    class Meta:
        model = Call
        fields = ["id", "version", "order", "system", "name", "label", "front", "coverage", "note"]
        extra_kwargs = {"order": ORDER}


class SharedRuleSerializer(RowSerializer):
    """A rule of a front or of a coverage."""

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """Returns the values. Raises ValidationError unless the rule has one owner."""
        owners = [name for name in ("front", "coverage") if self.chosen(attrs, name) is not None]
        if len(owners) != 1:
            raise wrong("front", "A rule belongs to a front or to a coverage: name one of them.")
        return attrs


SHARED = ["id", "version", "order", "front", "coverage", "who", "when"]


class AlignRuleSerializer(SharedRuleSerializer):
    """Where a man lines up."""

    class Meta:
        model = AlignRule
        fields = [*SHARED, "at"]
        extra_kwargs = {"order": ORDER}


class KeyRuleSerializer(SharedRuleSerializer):
    """Whom a man reads."""

    class Meta:
        model = KeyRule
        fields = [*SHARED, "reads"]
        extra_kwargs = {"order": ORDER}


class FitRuleSerializer(SharedRuleSerializer):
    """Where a man fits."""

    class Meta:
        model = FitRule
        fields = [*SHARED, "rule_id", "fit", "leverage", "say"]
        extra_kwargs = {"order": ORDER}


class TakeRuleSerializer(RowSerializer):
    """A pass duty."""

    class Meta:
        model = TakeRule
        fields = ["id", "version", "order", "coverage", "who", "when", "takes"]
        extra_kwargs = {"order": ORDER}


class ForceRuleSerializer(RowSerializer):
    """Who is the force player."""

    class Meta:
        model = ForceRule
        fields = ["id", "version", "order", "coverage", "who", "when"]
        extra_kwargs = {"order": ORDER}


# The offense


class EntrySerializer(LabelledSerializer):
    """An entry of the staff's library or of an opponent; written whole, lists included."""

    version = serializers.IntegerField(
        source="revision", read_only=True, help_text="Rises with every change of the entry or of any row in it."
    )


ENTRY = ["id", "version", "opponent", "name", "label"]


class FormationPlayerSerializer(RowSerializer):
    """One man of a formation, in yards."""

    class Meta:
        model = FormationPlayer
        fields = ["role", "kind", "x", "y"]
        extra_kwargs = {"x": {"min_value": -54, "max_value": 54}, "y": {"min_value": -20, "max_value": 0}}


class FormationSerializer(EntrySerializer):
    """A formation, drawn strong to the right."""

    players = FormationPlayerSerializer(many=True, min_length=1, max_length=22)

    class Meta:
        model = Formation
        fields = [*ENTRY, "personnel", "note", "source", "players"]


class MotionSerializer(EntrySerializer):
    """A motion or a shift."""

    class Meta:
        model = Motion
        fields = [*ENTRY, "kind", "who", "mirror", "x", "x_of", "y", "y_of", "balance", "note", "source"]
        extra_kwargs = {"who": {"required": True, "allow_empty": False}}


class CastSerializer(RowSerializer):
    """A job the concept hands out."""

    required = YesNo(default=False)

    class Meta:
        model = CastPart
        fields = ["part", "required"]

    def get_fields(self) -> dict[str, serializers.Field]:
        """Returns the fields, with the one whose name Python keeps for itself."""
        return super().get_fields() | {
            "from": serializers.ListField(child=Words(max_length=60), source="candidates", min_length=1, max_length=40)
        }


class BlockRuleSerializer(RowSerializer):
    """What an offensive man does."""

    class Meta:
        model = BlockRule
        fields = ["who", "when", "does", "step"]


class ThreatRuleSerializer(RowSerializer):
    """A man who may carry the ball."""

    class Meta:
        model = ThreatRule
        fields = ["kind", "who", "where", "time_s", "course"]


class LeftManSerializer(RowSerializer):
    """A defender the concept leaves unblocked on purpose."""

    class Meta:
        model = LeftMan
        fields = ["man", "why"]


LISTS = ("cast", "rules", "threats", "leaves")


class RulesSerializer(EntrySerializer):
    """What concepts and options share."""

    cast = CastSerializer(source="castparts", many=True, required=False, max_length=40)
    rules = BlockRuleSerializer(source="blockrules", many=True, required=False, max_length=200)
    threats = ThreatRuleSerializer(source="threatrules", many=True, required=False, max_length=40)
    leaves = LeftManSerializer(source="leftmans", many=True, required=False, max_length=12)


class ConceptSerializer(RulesSerializer):
    """A run as rules."""

    class Meta:
        model = Concept
        fields = [*ENTRY, "family", "source", "to", "time_s", "flags", "eyes", *LISTS]
        extra_kwargs = {
            "to": {"required": True, "allow_empty": False},
            "time_s": {"min_value": 0.3, "max_value": 6},
        }


class OptionSerializer(RulesSerializer):
    """A tag of the offense or an option of the staff."""

    class Meta:
        model = Option
        fields = [*ENTRY, "side", "source", "flags", "eyes", *LISTS]


class OpponentSerializer(NotedSerializer):
    """An opponent and his menu."""

    class Meta:
        model = Opponent
        fields = ["id", "version", "name", "short_name", "note", "formations", "concepts", "motions"]


# The season


class SeasonSerializer(RowSerializer):
    """A season, its rule book and the staff's contact limits."""

    class Meta:
        model = Season
        fields = ["id", "version", "year", "name", "book", "contact_day_min", "contact_week_min", "contact_source"]
        extra_kwargs = {"contact_day_min": {"max_value": 1000}, "contact_week_min": {"max_value": 5000}}


class WeekSerializer(NotedSerializer):
    """A week of preparation."""

    class Meta:
        model = Week
        fields = ["id", "version", "season", "number", "opponent", "system", "game_on", "released", "note"]
        extra_kwargs = {"number": {"min_value": 0, "max_value": 30}}


class DaySerializer(NotedSerializer):
    """A day of the week's work."""

    class Meta:
        model = Day
        fields = ["id", "version", "order", "week", "label", "date", "note"]
        extra_kwargs = {"order": ORDER}


class MenuCallSerializer(RowSerializer):
    """A call on the week's menu."""

    class Meta:
        model = MenuCall
        fields = [
            "id", "version", "order", "week", "call", "down", "distance_from", "distance_to", "zone", "personnel",
            "note",
        ]  # fmt: skip
        extra_kwargs = {
            "order": ORDER,
            "down": {"min_value": 1, "max_value": 4},
            "distance_from": {"min_value": 0, "max_value": 99},
            "distance_to": {"min_value": 0, "max_value": 99},
        }

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """Returns the values. Raises ValidationError for a call of another system, or distances the wrong way round."""
        if self.chosen(attrs, "call").system_id != self.chosen(attrs, "week").system_id:
            raise wrong("call", "Expected a call of the week's system.")
        low, high = self.chosen(attrs, "distance_from"), self.chosen(attrs, "distance_to")
        if low is not None and high is not None and low > high:
            raise wrong("distance_to", f"Expected {low} or more, as the distance starts at {low}.")
        return attrs


class ExpectedLookSerializer(RowSerializer):
    """A look to expect."""

    share = Number(required=False, allow_null=True, min_value=0, max_value=1)

    class Meta:
        model = ExpectedLook
        fields = [
            "id", "version", "order", "week", "formation", "concept", "motion", "back", "options", "to", "middle",
            "flip",
            "hash", "zone", "share", "pinned", "guess", "note",
        ]  # fmt: skip
        extra_kwargs = {"order": ORDER}

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """Returns the values. Raises ValidationError for entries of another opponent and options that do not exist."""
        theirs = self.chosen(attrs, "week").opponent_id
        for name in ("formation", "concept", "motion"):
            entry = self.chosen(attrs, name)
            if entry is not None and entry.opponent_id not in (None, theirs):
                raise wrong(name, "Expected an entry of the library or of the week's opponent.")
        names = self.chosen(attrs, "options") or []
        known = set(Option.objects.filter(opponent=None, name__in=names).values_list("name", flat=True))
        unknown = [name for name in names if name not in known]
        if unknown:
            raise wrong("options", f"There is no option {unknown[0]!r} in the library.")
        return attrs


class PlanEntrySerializer(RowSerializer):
    """What is taught on a day."""

    class Meta:
        model = PlanEntry
        fields = ["id", "version", "order", "day", "group", "text", "call", "look", "minutes", "contact"]
        extra_kwargs = {"order": ORDER, "minutes": {"min_value": 0, "max_value": 240}}

    def validate(self, attrs: dict[str, Any]) -> dict[str, Any]:
        """Returns the values. Raises ValidationError for what is not of this week, and full contact without minutes."""
        week = self.chosen(attrs, "day").week
        call, look = self.chosen(attrs, "call"), self.chosen(attrs, "look")
        if call is not None and call.system_id != week.system_id:
            raise wrong("call", "Expected a call of the week's system.")
        if look is not None and look.week_id != week.pk:
            raise wrong("look", "Expected a look of the same week.")
        if self.chosen(attrs, "contact") in ("thud", "live") and self.chosen(attrs, "minutes") is None:
            raise wrong("minutes", "Say how many minutes: thud and live are counted against the limits.")
        return attrs


# The roster


class PlayerSerializer(RowSerializer):
    """A man on the roster; times in seconds."""

    class Meta:
        model = Player
        fields = [
            "id", "version", "user", "first_name", "last_name", "number", "class_year", "ten_yd_s", "forty_yd_s",
            "active",
        ]  # fmt: skip
        read_only_fields = ["user"]
        extra_kwargs = {
            "ten_yd_s": {"min_value": 1, "max_value": 4},
            "forty_yd_s": {"min_value": 3, "max_value": 10},
            "number": {"min_value": 0, "max_value": 99},
        }


class RosterSpotSerializer(RowSerializer):
    """A man's place at a position; order 0 is the first to play there."""

    class Meta:
        model = RosterSpot
        fields = ["id", "version", "order", "player", "position"]
        extra_kwargs = {"order": ORDER}


# Others


class Happening(serializers.Serializer):
    """One kept change of a row."""

    at = serializers.DateTimeField()
    what = serializers.ChoiceField(["insert", "update", "delete"])
    table = serializers.CharField()
    who = serializers.CharField(allow_blank=True)
    row = extend_schema_field({"type": "object", "additionalProperties": {}})(serializers.DictField)()


class LogIn(StrictMixin, serializers.Serializer):
    """Who asks for a token."""

    username = Words(max_length=150)
    password = Words(max_length=200, trim_whitespace=False)


class NewToken(serializers.Serializer):
    """A token, shown this once."""

    token = serializers.CharField()
