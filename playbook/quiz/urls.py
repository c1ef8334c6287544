"""Routes of the quiz."""

from django.urls import path

from playbook.quiz import pages

app_name = "quiz"
urlpatterns = [
    path("my/quiz", pages.mine, name="mine"),
    path("my/quiz/<int:pk>", pages.mine, name="of"),
    path("my/quiz/<int:pk>/answer", pages.answer, name="answer"),
    path("my/quiz/<int:pk>/steps/<int:look>", pages.steps, name="steps"),
    path("weeks/<int:pk>/quiz", pages.known, name="known"),
    path("weeks/<int:pk>/quiz/plan", pages.plan, name="plan"),
    path("weeks/<int:pk>/quiz/clock", pages.clock, name="clock"),
]
