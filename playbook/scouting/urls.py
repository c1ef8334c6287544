"""Routes of scouting."""

from django.urls import path

from playbook.scouting import pages

app_name = "scouting"
urlpatterns = [
    path("", pages.start, name="start"),
    path("own-calls", pages.own, name="own"),
    path("<int:pk>", pages.opponent, name="opponent"),
    path("<int:pk>/words", pages.word_list, name="words"),
    path("<int:pk>/tendencies", pages.tendencies, name="tendencies"),
    path("<int:pk>/tendencies/print", pages.tendencies_print, name="tendencies-print"),
    path("charts/<int:pk>", pages.chart, name="chart"),
    path("charts/<int:pk>/columns", pages.mapping, name="mapping"),
    path("charts/<int:pk>/not-taken.csv", pages.refused, name="refused"),
    path("charts/<int:pk>/count", pages.count, name="count"),
    path("charts/<int:pk>/delete", pages.delete, name="delete"),
]
