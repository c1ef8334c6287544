"""The settings of a real installation, with the bare view beside its pages and its files in a folder of this run."""

import os

from playbook.settings import *  # noqa: F403

ROOT_URLCONF = "tests.benchmarks.bare_urls"
STATIC_ROOT = os.environ["BENCH_STATIC"]
