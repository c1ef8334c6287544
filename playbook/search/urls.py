"""Routes of the search."""

from django.urls import path

from playbook.search import pages

app_name = "search"
urlpatterns = [path("", pages.results, name="results")]
