"""Routes of notes."""

from django.urls import path

from playbook.notes import pages

app_name = "notes"
urlpatterns = [
    path("add", pages.add, name="add"),
    path("read", pages.read, name="read"),
    path("<int:pk>/answer", pages.answer, name="answer"),
    path("<int:pk>/change", pages.change, name="change"),
    path("<int:pk>/settle", pages.settle, name="settle"),
    path("<int:pk>/delete", pages.delete, name="delete"),
    path("<int:pk>/restore", pages.restore, name="restore"),
]
