"""Routes of the documents."""

from django.urls import path

from playbook.exports import pages

app_name = "exports"
urlpatterns = [
    path("", pages.export_list, name="list"),
    path("weeks/<int:week>/<slug:document>", pages.add, name="add"),
    path("my-week/<int:pk>", pages.my_week, name="my-week"),
    path("<int:pk>", pages.detail, name="detail"),
    path("<int:pk>/file", pages.file, name="file"),
    path("<int:pk>/delete", pages.delete, name="delete"),
]
