"""Who may use the API, and the page for tokens."""

from playbook.api import tokens
from playbook.models import (
    AlignRule,
    ApiToken,
    Call,
    Concept,
    Coverage,
    Day,
    ExpectedLook,
    FitRule,
    ForceRule,
    Formation,
    Front,
    KeyRule,
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
    User,
    Week,
)
from tests.playbook.access_rule import Rule

ROWS = {
    "schemes": TechniqueScheme,
    "systems": System,
    "positions": Position,
    "fronts": Front,
    "coverages": Coverage,
    "calls": Call,
    "align-rules": AlignRule,
    "key-rules": KeyRule,
    "fit-rules": FitRule,
    "take-rules": TakeRule,
    "force-rules": ForceRule,
    "formations": Formation,
    "motions": Motion,
    "concepts": Concept,
    "options": Option,
    "opponents": Opponent,
    "seasons": Season,
    "weeks": Week,
    "days": Day,
    "menu-calls": MenuCall,
    "expected-looks": ExpectedLook,
    "plan-entries": PlanEntry,
    "players": Player,
    "roster-spots": RosterSpot,
}


def released_week():
    """A released week with one of everything; the player, if there is one, plays everywhere."""
    system = System.objects.get(name="odd-three-safety")
    season, _ = Season.objects.get_or_create(year=2031)
    opponent = Opponent.objects.create(name="Vellmark")
    week = Week.objects.create(season=season, number=4, system=system, opponent=opponent, released=True)
    day = Day.objects.create(week=week, label="Tuesday")
    PlanEntry.objects.create(day=day, text="Walk through the front")
    MenuCall.objects.create(week=week, call=system.calls.get(name="odd-three-safety"))
    formation, concept = Formation.objects.get(name="10-doubles"), Concept.objects.get(name="inside-zone")
    ExpectedLook.objects.create(week=week, formation=formation, concept=concept)
    user = User.objects.filter(username="the-player").first()
    man = user.player if user else Player.objects.create(first_name="Pell", last_name="Ardmoor")
    for position in system.positions.all():
        RosterSpot.objects.create(player=man, position=position)
    return week


def _first(model):
    def find():
        released_week()
        return {"pk": str(model.objects.first().pk)}

    return find


def _token():
    tokens.make_token(User.objects.create_user("holder"))
    return {"pk": ApiToken.objects.get().pk}


TABLE = {
    "api:schema": Rule("everyone"),
    "api:token": Rule("anyone", "post"),
    "api:nothing": Rule("anyone", fine=(404,)),
    "api:looks-derive": Rule("staff"),
    "api:looks-draw": Rule("staff"),
    "api:systems-file": Rule("staff", kwargs=_first(System)),
    "api:systems-copy": Rule("staff", "post", kwargs=_first(System)),
    "token:detail": Rule("everyone"),
    "token:make": Rule("everyone", "post"),
    "token:revoke": Rule("everyone", "post", kwargs=lambda: {"pk": 0}, fine=(303,)),
    "token:list": Rule("admin"),
    "token:take-back": Rule("admin", "post", kwargs=_token, fine=(303,)),
}
for name, model in ROWS.items():
    TABLE[f"api:{name}-list"] = Rule("everyone", fine=(200,))
    TABLE[f"api:{name}-detail"] = Rule("everyone", kwargs=_first(model), fine=(200,))
    TABLE[f"api:{name}-history"] = Rule("staff", kwargs=_first(model), fine=(200,))
