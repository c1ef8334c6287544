"""The demo: an invented college, its people and its opponents."""

from playbook.demo.load import PASSWORD, LogIn, load, log_ins

__all__ = ["PASSWORD", "LogIn", "load", "log_ins"]
