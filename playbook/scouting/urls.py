"""Routes of scouting."""

from django.urls import path

from playbook.scouting import pages, week_pages

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
    path("weeks/<int:pk>/looks", week_pages.expected, name="looks"),
    path("weeks/<int:pk>/looks/take", week_pages.take, name="take"),
    path("weeks/<int:pk>/looks/mark", week_pages.mark, name="mark"),
    path("weeks/<int:pk>/proof", week_pages.weighed, name="proof"),
    path("weeks/<int:pk>/repairs/<int:look>/<int:call>", week_pages.repairs, name="repairs"),
    path("weeks/<int:pk>/repairs/<int:look>/<int:call>/<int:number>", week_pages.repair, name="repair"),
    path("weeks/<int:pk>/repairs/<int:look>/<int:call>/apply", week_pages.apply, name="apply"),
    path("weeks/<int:pk>/compare", week_pages.compare, name="compare"),
    path("weeks/<int:pk>/menu", week_pages.suggest, name="suggest"),
    path("weeks/<int:pk>/menu/add", week_pages.put_on_menu, name="menu-add"),
    path("weeks/<int:pk>/menu-proof", week_pages.study, name="study"),
    path("weeks/<int:pk>/menu-proof/start", week_pages.study_start, name="study-start"),
]
