"""Routes of tendencies."""

from django.urls import path

from playbook.tendencies import pages

app_name = "tendencies"
urlpatterns = [
    path("own-calls", pages.own, name="own"),
    path("own-calls/<slug:name>", pages.own_report, name="own-report"),
    path("own-calls/<slug:name>.<str:kind>", pages.own_export, name="own-export"),
    path("<int:pk>/tendencies", pages.opponent, name="opponent"),
    path("<int:pk>/tendencies/print", pages.opponent_print, name="print"),
    path("<int:pk>/tendencies/sheet", pages.sheet, name="sheet"),
    path("<int:pk>/tendencies/<slug:name>", pages.report, name="report"),
    path("<int:pk>/tendencies/<slug:name>.<str:kind>", pages.export, name="export"),
]
