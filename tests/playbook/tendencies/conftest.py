"""The invented opponent and its charts."""

from tests.playbook.charts.conftest import opponent, read, upload

__all__ = ["opponent", "read", "upload"]
