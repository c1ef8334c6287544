"""Routes of charts."""

from django.urls import path

from playbook.charts import pages

app_name = "charts"
urlpatterns = [
    path("", pages.start, name="start"),
    path("<int:pk>", pages.opponent, name="opponent"),
    path("<int:pk>/words", pages.word_list, name="words"),
    path("charts/<int:pk>", pages.chart, name="chart"),
    path("charts/<int:pk>/columns", pages.mapping, name="mapping"),
    path("charts/<int:pk>/not-taken.csv", pages.refused, name="refused"),
    path("charts/<int:pk>/rows", pages.rows, name="rows"),
    path("charts/<int:pk>/rows/<int:line>", pages.row, name="row"),
    path("same-games/<int:pk>", pages.decide, name="decide"),
    path("charts/<int:pk>/count", pages.count, name="count"),
    path("charts/<int:pk>/delete", pages.delete, name="delete"),
]
