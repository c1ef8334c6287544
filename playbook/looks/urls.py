"""Routes of looks."""

from django.urls import path

from playbook.looks import pages

app_name = "looks"
urlpatterns = [
    path("", pages.start, name="start"),
    path("call/<int:pk>", pages.of_call, name="of-call"),
    path("expected/<int:pk>", pages.of_week, name="of-week"),
    path("<int:call>/<int:formation>/<int:concept>", pages.detail, name="detail"),
    path("<int:call>/<int:formation>/<int:concept>/meeting", pages.meeting, name="meeting"),
    path("<int:call>/<int:formation>/<int:concept>/compare", pages.compare, name="compare"),
    path("<int:call>/<int:formation>/<int:concept>/place", pages.place, name="place"),
    path("<int:call>/<int:formation>/<int:concept>/play", pages.play, name="play"),
    path("<int:call>/<int:formation>/<int:concept>/repairs", pages.repairs, name="repairs"),
    path("<int:call>/<int:formation>/<int:concept>/repairs/<int:number>", pages.repair, name="repair"),
]
