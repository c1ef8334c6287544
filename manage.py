#!/usr/bin/env python
"""The command line of the web app: `manage.py demo` runs the whole program with demo data."""

import os
import sys


def main() -> None:
    """Runs one command; without a SECRET_KEY this is a local copy, so debug settings apply."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "playbook.settings")
    if not os.environ.get("SECRET_KEY"):
        os.environ.setdefault("LANEPROOF_DEBUG", "1")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
