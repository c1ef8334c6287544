"""Routes of the week."""

from django.urls import path

from playbook.week import pages

app_name = "week"
urlpatterns = [
    path("", pages.week_list, name="list"),
    path("switch", pages.switch, name="switch"),
    path("add", pages.add, name="add"),
    path("seasons/add", pages.season_add, name="season-add"),
    path("seasons/<int:pk>", pages.season_edit, name="season-edit"),
    path("<int:pk>", pages.detail, name="detail"),
    path("<int:pk>/edit", pages.edit, name="edit"),
    path("<int:pk>/state", pages.week_state, name="state"),
    path("<int:pk>/menu", pages.menu, name="menu"),
    path("<int:pk>/plan", pages.plan, name="plan"),
    path("<int:pk>/notes", pages.notes, name="notes"),
    path("<int:pk>/sheets", pages.position_sheets, name="sheets"),
    path("<int:pk>/release", pages.release, name="release"),
    path("<int:pk>/add/<slug:kind>", pages.row_add, name="row-add"),
    path("<int:pk>/sheet/<int:position>", pages.sheet, name="sheet"),
    path("<int:pk>/grades", pages.grades, name="grades"),
    path("<int:pk>/bring-back/<uuid:change>", pages.bring_back, name="bring-back"),
    path("grades/<int:pk>/delete", pages.grade_delete, name="grade-delete"),
    path("<slug:kind>/<int:pk>/edit", pages.row_edit, name="row-edit"),
    path("<slug:kind>/<int:pk>/move", pages.row_move, name="row-move"),
    path("<slug:kind>/<int:pk>/delete", pages.row_delete, name="row-delete"),
]
