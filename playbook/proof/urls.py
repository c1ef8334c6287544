"""Routes of the proof."""

from django.urls import path

from playbook.proof import pages

app_name = "proof"
urlpatterns = [
    path("weeks/<int:pk>/looks", pages.expected, name="looks"),
    path("weeks/<int:pk>/looks/take", pages.take, name="take"),
    path("weeks/<int:pk>/looks/mark", pages.mark, name="mark"),
    path("weeks/<int:pk>/proof", pages.weighed, name="weighed"),
    path("weeks/<int:pk>/repairs/<int:look>/<int:call>", pages.repairs, name="repairs"),
    path("weeks/<int:pk>/repairs/<int:look>/<int:call>/<int:number>", pages.repair, name="repair"),
    path("weeks/<int:pk>/repairs/<int:look>/<int:call>/apply", pages.apply, name="apply"),
    path("weeks/<int:pk>/compare", pages.compare, name="compare"),
    path("weeks/<int:pk>/menu", pages.suggest, name="suggest"),
    path("weeks/<int:pk>/menu/add", pages.put_on_menu, name="menu-add"),
    path("weeks/<int:pk>/menu-proof", pages.study, name="study"),
    path("weeks/<int:pk>/menu-proof/start", pages.study_start, name="study-start"),
]
