"""The settings for tests: those of a local copy, a database name of this run's own, and cheap passwords."""

import os

os.environ.setdefault("LANEPROOF_DEBUG", "1")

from playbook.settings import *  # noqa: F403
from playbook.settings import DATABASES

DATABASES["default"]["TEST"] = {"NAME": f"test_laneproof_{os.getpid()}"}
DATABASES["default"]["CONN_MAX_AGE"] = 0
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
AXES_ENABLED = False
ALLOWED_HOSTS = ["*"]
