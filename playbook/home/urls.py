"""Routes of the first screen."""

from django.urls import path

from playbook.home import pages

app_name = "home"
urlpatterns = [
    path("", pages.start, name="start"),
    path("alive", pages.alive, name="alive"),
]
