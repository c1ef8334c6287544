"""Routes of the roster."""

from django.urls import path

from playbook.roster import pages

app_name = "roster"
urlpatterns = [
    path("", pages.roster_list, name="list"),
    path("add", pages.add, name="add"),
    path("<int:pk>", pages.edit, name="edit"),
    path("take", pages.take, name="take"),
    path("links", pages.links, name="links"),
    path("<int:pk>/shut-out", pages.shut_out, name="shut-out"),
    path("depth/<int:pk>", pages.depth, name="depth"),
    path("spots/<int:pk>/up", pages.move_up, name="move-up"),
]
