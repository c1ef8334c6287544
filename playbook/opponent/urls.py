"""Routes of opponents, formations and concepts."""

from django.urls import path

from playbook.opponent import concept_pages, formation_pages, motion_pages, option_pages, pages

app_name = "opponent"
urlpatterns = [
    path("", pages.opponent_list, name="list"),
    path("library", pages.library, name="library"),
    path("add", pages.add, name="add"),
    path("<int:pk>", pages.detail, name="detail"),
    path("<int:pk>/edit", pages.edit, name="edit"),
    path("<int:pk>/menu", pages.menu, name="menu"),
    path("<int:pk>/delete", pages.delete, name="delete"),
    path("formation/add", formation_pages.add, name="add-formation"),
    path("formation/check", formation_pages.check, name="check-formation"),
    path("formation/<int:pk>", formation_pages.edit, name="formation"),
    path("formation/<int:pk>/delete", formation_pages.delete, name="delete-formation"),
    path("motion/add", motion_pages.add, name="add-motion"),
    path("motion/<int:pk>", motion_pages.edit, name="motion"),
    path("motion/<int:pk>/delete", motion_pages.delete, name="delete-motion"),
    path("option/add", option_pages.add, name="add-option"),
    path("option/<int:pk>", option_pages.edit, name="option"),
    path("option/<int:pk>/delete", option_pages.delete, name="delete-option"),
    path("run/add", concept_pages.add, name="add-concept"),
    path("run/try", concept_pages.attempt, name="try-concept"),
    path("run/<int:pk>", concept_pages.edit, name="concept"),
    path("run/<int:pk>/delete", concept_pages.delete, name="delete-concept"),
]
