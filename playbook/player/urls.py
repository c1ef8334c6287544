"""Routes of a player's pages."""

from django.urls import path

from playbook.player import pages

app_name = "player"
urlpatterns = [
    path("week", pages.week, name="week"),
    path("week/<int:pk>", pages.week, name="week-of"),
    path("week/<int:pk>/scouting", pages.scouting, name="scouting"),
    path("week/<int:pk>/news", pages.news, name="news"),
    path("published/<int:pk>/<slug:state>", pages.picture, name="picture"),
    path("published/<int:pk>/<slug:state>/steps", pages.steps, name="steps"),
]
