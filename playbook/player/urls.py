"""Routes of a player's pages."""

from django.urls import path

from playbook.player import pages

app_name = "player"
urlpatterns = [
    path("week", pages.week, name="week"),
    path("week/<int:pk>", pages.week, name="week-of"),
    path("week/<int:pk>/scouting", pages.scouting, name="scouting"),
    path("week/<int:week>/drawing/<int:look>/<slug:digest>.svg", pages.drawing, name="drawing"),
]
