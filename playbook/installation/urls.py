"""Routes of the first visit and of the installation."""

from django.urls import path

from playbook.installation import pages

app_name = "installation"
urlpatterns = [
    path("", pages.show, name="show"),
    path("first", pages.first, name="first"),
    path("keep", pages.keep, name="keep"),
    path("<slug:step>", pages.step, name="step"),
]
