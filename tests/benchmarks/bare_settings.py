"""The settings of a local copy with the bare view beside the program's own addresses."""

from playbook.settings import *  # noqa: F403

ROOT_URLCONF = "tests.benchmarks.bare"
