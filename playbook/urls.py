"""Routes only: one line per capability."""

from django.urls import include, path

urlpatterns = [
    path("", include("playbook.home.urls")),
    path("people/", include("playbook.people.urls")),
    path("api/", include("playbook.api.urls")),
]

handler403 = "playbook.web.not_found"
handler404 = "playbook.web.not_found"
handler500 = "playbook.web.server_error"
