"""The one Django app."""

from django.apps import AppConfig


class PlaybookConfig(AppConfig):
    """Names the app; it does nothing at start-up."""

    name = "playbook"
    verbose_name = "Laneproof"
