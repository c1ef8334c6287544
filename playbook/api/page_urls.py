"""Routes of the page for tokens."""

from django.urls import path

from playbook.api import pages

app_name = "token"
urlpatterns = [
    path("", pages.detail, name="detail"),
    path("make", pages.make, name="make"),
    path("<int:pk>/revoke", pages.revoke, name="revoke"),
    path("all", pages.token_list, name="list"),
    path("<int:pk>/take-back", pages.take_back, name="take-back"),
]
