#!/usr/bin/env python
"""The command line of the web app: `serve` runs the whole program for a staff, `demo` with demo data."""

import os
import sys
from pathlib import Path

from playbook import postgres
from playbook.serving import house


def main() -> None:
    """Runs one command, and leaves no database server behind. What is wrong with the data folder is a sentence."""
    try:
        _settle(sys.argv[1] if len(sys.argv) > 1 else "")
        from django.core.management import execute_from_command_line

        execute_from_command_line(sys.argv)
    except (postgres.PostgresError, house.FolderError) as error:
        sys.exit(f"{error}")
    finally:
        postgres.leave()


def _settle(command: str) -> None:
    """Sets what the command needs: the kept key for a real installation, debug settings for a developer's copy."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "playbook.settings")
    if command == "demo":  # its passwords are known to everybody: never in the folder of a staff
        os.environ.setdefault("LANEPROOF_DATA", str(Path(__file__).resolve().parent / ".data" / "demo"))
    if command in ("serve", "demo"):
        os.environ.pop("LANEPROOF_DEBUG", None)
        os.environ.setdefault("LANEPROOF_STATIC", str(postgres.default_folder().absolute() / "static"))
        if not os.environ.get("SECRET_KEY"):
            house.make_key()
    elif not os.environ.get("SECRET_KEY") and not house.key_file().exists():
        os.environ.setdefault("LANEPROOF_DEBUG", "1")


if __name__ == "__main__":
    main()
