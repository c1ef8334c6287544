"""Routes of tendencies."""

from django.urls import path

from playbook.tendencies import pages

app_name = "tendencies"
urlpatterns = [
    path("own-calls", pages.own, name="own"),
    path("<int:pk>/tendencies", pages.opponent, name="opponent"),
    path("<int:pk>/tendencies/print", pages.opponent_print, name="print"),
]
