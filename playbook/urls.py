"""Routes only: one line per capability."""

from django.urls import include, path

urlpatterns = [
    path("", include("playbook.home.urls")),
    path("setup/", include("playbook.installation.urls")),
    path("people/", include("playbook.people.urls")),
    path("roster/", include("playbook.roster.urls")),
    path("looks/", include("playbook.looks.urls")),
    path("board/", include("playbook.board.urls")),
    path("systems/", include("playbook.system.urls")),
    path("opponents/", include("playbook.opponent.urls")),
    path("weeks/", include("playbook.week.urls")),
    path("search", include("playbook.search.urls")),
    path("notes/", include("playbook.notes.urls")),
    path("", include("playbook.quiz.urls")),
    path("my/", include("playbook.player.urls")),
    path("documents/", include("playbook.exports.urls")),
    path("scouting/", include("playbook.charts.urls")),
    path("scouting/", include("playbook.tendencies.urls")),
    path("scouting/", include("playbook.proof.urls")),
    path("token/", include("playbook.api.page_urls")),
    path("api/", include("playbook.api.urls")),
]

handler400 = "playbook.web.bad_request"
handler403 = "playbook.web.not_found"
handler404 = "playbook.web.not_found"
handler500 = "playbook.web.server_error"
