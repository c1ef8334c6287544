"""Routes of log-in and of the people who may sign in."""

from django.urls import path

from playbook.people import log_pages, own_pages, pages

app_name = "people"
urlpatterns = [
    path("", pages.people_list, name="list"),
    path("add", pages.add, name="add"),
    path("<int:pk>", pages.edit, name="edit"),
    path("<int:pk>/link", pages.link, name="link"),
    path("<int:pk>/sign-out", own_pages.sign_out_person, name="sign-out-person"),
    path("<int:pk>/second/take", own_pages.take_second, name="take-second"),
    path("log", log_pages.show, name="log"),
    path("sign-ins", own_pages.sign_ins, name="sign-ins"),
    path("sign-ins/end", own_pages.sign_out_elsewhere, name="sign-out-elsewhere"),
    path("second", own_pages.ask_code, name="second"),
    path("second/set-up", own_pages.set_up, name="second-setup"),
    path("second/leave", own_pages.leave_second, name="second-leave"),
    path("log-in", pages.LogIn.as_view(), name="log-in"),
    path("ask", pages.ask, name="ask"),
    path("log-out", pages.log_out, name="log-out"),
    path("password", pages.ChangePassword.as_view(), name="password"),
    path("welcome/<uidb64>/<token>", pages.Welcome.as_view(), name="welcome"),
]
