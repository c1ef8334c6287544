"""Routes of the API."""

from django.urls import path
from drf_spectacular.views import SpectacularAPIView

from playbook.api import views

app_name = "api"
urlpatterns = [
    path("schema/", SpectacularAPIView.as_view(), name="schema"),
    path("token/", views.Token.as_view(), name="token"),
]
