"""Routes of the API."""

from django.urls import include, path, re_path
from drf_spectacular.views import SpectacularJSONAPIView
from rest_framework.routers import SimpleRouter

from playbook.api import look_views, token_views, views

router = SimpleRouter()
for address, view in {
    "schemes": views.Schemes,
    "systems": views.Systems,
    "positions": views.Positions,
    "fronts": views.Fronts,
    "coverages": views.Coverages,
    "calls": views.Calls,
    "align-rules": views.AlignRules,
    "key-rules": views.KeyRules,
    "fit-rules": views.FitRules,
    "take-rules": views.TakeRules,
    "force-rules": views.ForceRules,
    "formations": views.Formations,
    "motions": views.Motions,
    "concepts": views.Concepts,
    "options": views.Options,
    "opponents": views.Opponents,
    "seasons": views.Seasons,
    "weeks": views.Weeks,
    "days": views.Days,
    "menu-calls": views.MenuCalls,
    "expected-looks": views.ExpectedLooks,
    "plan-entries": views.PlanEntries,
    "players": views.Players,
    "roster-spots": views.RosterSpots,
}.items():
    router.register(address, view, basename=address)

app_name = "api"
urlpatterns = [
    path("schema/", SpectacularJSONAPIView.as_view(), name="schema"),
    path("token/", token_views.TokenView.as_view(), name="token"),
    path("looks/derive/", look_views.DeriveLook.as_view(), name="looks-derive"),
    path("looks/draw/", look_views.DrawLook.as_view(), name="looks-draw"),
    path("", include(router.urls)),
    re_path("", token_views.Nothing.as_view(), name="nothing"),
]
