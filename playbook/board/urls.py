"""Routes of the fit board."""

from django.urls import path

from playbook.board import pages

app_name = "board"
urlpatterns = [path("", pages.show, name="show")]
