"""Routes of systems."""

from django.urls import path, register_converter

from playbook.system import (
    change_pages,
    list_pages,
    pages,
    position_pages,
    pressure_pages,
    rule_pages,
    shipped_pages,
    technique_pages,
)


class Part:
    """The words front and coverage in an address."""

    regex = "front|coverage"

    def to_python(self, value: str) -> str:
        """Returns the word."""
        return value

    def to_url(self, value: str) -> str:
        """Returns the word."""
        return value


register_converter(Part, "part")
RULE = "<part:what>/<int:pk>/<slug:kind>/"

app_name = "system"
urlpatterns = [
    path("", pages.system_list, name="list"),
    path("import", pages.import_file, name="import"),
    path("shipped/take", pages.take_whole, name="take-whole"),
    path("phrasebook", pages.phrasebook, name="phrasebook"),
    path("<int:pk>", pages.detail, name="detail"),
    path("<int:pk>/edit", pages.edit, name="edit"),
    path("<int:pk>/variant", pages.variant, name="variant"),
    path("<int:pk>/delete", pages.delete, name="delete"),
    path("<int:pk>/export", pages.export, name="export"),
    path("<int:pk>/positions", position_pages.positions, name="positions"),
    path("<int:pk>/techniques", technique_pages.techniques, name="techniques"),
    path("<int:pk>/pressures/add", pressure_pages.add, name="add-pressure"),
    path("<int:pk>/pressures/<int:number>", pressure_pages.change, name="pressure"),
    path("<int:pk>/pressures/<int:number>/delete", pressure_pages.delete, name="delete-pressure"),
    path("<int:pk>/changes", change_pages.changes, name="changes"),
    path("<int:pk>/changes/<uuid:change>/undo", change_pages.undo, name="undo"),
    path("<int:pk>/changes/<uuid:change>/drawn", change_pages.drawn, name="drawn"),
    path("<int:pk>/shipped", shipped_pages.shipped, name="shipped"),
    path("<int:pk>/shipped/try", shipped_pages.attempt, name="try-shipped"),
    path("<int:pk>/shipped/take", shipped_pages.take, name="take-shipped"),
    path("<int:pk>/shipped/leave", shipped_pages.leave, name="leave-shipped"),
    path("<int:pk>/add-front", pages.add_front, name="add-front"),
    path("<int:pk>/add-coverage", pages.add_coverage, name="add-coverage"),
    path("<int:pk>/add-call", pages.add_call, name="add-call"),
    path("call/<int:pk>/edit", pages.edit_call, name="edit-call"),
    path("call/<int:pk>/delete", pages.delete_call, name="delete-call"),
    path("front/<int:pk>", rule_pages.front, name="front"),
    path("front/<int:pk>/edit", pages.edit_front, name="edit-front"),
    path("front/<int:pk>/delete", pages.delete_front, name="delete-front"),
    path("coverage/<int:pk>", rule_pages.coverage, name="coverage"),
    path("coverage/<int:pk>/edit", pages.edit_coverage, name="edit-coverage"),
    path("coverage/<int:pk>/delete", pages.delete_coverage, name="delete-coverage"),
    path("<part:what>/<int:pk>/movement", list_pages.movement, name="movement"),
    path("<part:what>/<int:pk>/knows", rule_pages.knows, name="knows"),
    path(RULE + "try", rule_pages.attempt, name="try-new-rule"),
    path(RULE + "save", rule_pages.save, name="save-new-rule"),
    path(RULE + "<int:rule>/try", rule_pages.attempt, name="try-rule"),
    path(RULE + "<int:rule>/save", rule_pages.save, name="save-rule"),
    path(RULE + "<int:rule>/move", rule_pages.move, name="move-rule"),
    path(RULE + "<int:rule>/delete", rule_pages.delete, name="delete-rule"),
]
