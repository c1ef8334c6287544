"""Routes of log-in and of the people who may sign in."""

from django.urls import path

from playbook.people import pages

app_name = "people"
urlpatterns = [
    path("", pages.people_list, name="list"),
    path("add", pages.add, name="add"),
    path("<int:pk>", pages.edit, name="edit"),
    path("<int:pk>/link", pages.link, name="link"),
    path("log-in", pages.LogIn.as_view(), name="log-in"),
    path("ask", pages.ask, name="ask"),
    path("log-out", pages.log_out, name="log-out"),
    path("password", pages.ChangePassword.as_view(), name="password"),
    path("welcome/<uidb64>/<token>", pages.Welcome.as_view(), name="welcome"),
]
