"""The demo: an invented college, its people and its opponents."""

from playbook.demo.load import LogIn, load

__all__ = ["LogIn", "load"]
