"""The one settings file; environment variables feed it.

DATABASE_URL      a PostgreSQL server; without it an embedded one is started, with LANEPROOF_DEBUG=1 or a kept key
SECRET_KEY        without it the one that `manage.py serve` keeps in the data folder; not needed with LANEPROOF_DEBUG=1
LANEPROOF_DEBUG   "1" for a developer's copy: detailed errors, cookies without TLS
LANEPROOF_HOSTS   host names this server answers to, with commas
LANEPROOF_ORIGINS whole origins that forms may come from where a proxy changes the host name, with commas
LANEPROOF_PLAIN   "1" when people reach it without TLS, on one machine or a network of the staff's own
LANEPROOF_PROXIES how many trusted proxies stand in front (0); the client's address is read past them
LANEPROOF_SECOND_FACTOR "staff" when coaches and admins need a code of their phone beside the password
LANEPROOF_BACKUPS folder for the backup of every night (backups, in LANEPROOF_DATA)
LANEPROOF_DATA    folder for the embedded server's data and the kept key (.data)
"""

import os
from pathlib import Path

import dj_database_url
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured

from playbook import postgres
from playbook.serving import house

BASE_DIR = Path(__file__).resolve().parent.parent
DEBUG = os.environ.get("LANEPROOF_DEBUG") == "1"
PLAIN = DEBUG or os.environ.get("LANEPROOF_PLAIN") == "1"
KEPT_KEY = "" if DEBUG or os.environ.get("SECRET_KEY") else house.read_key()


def _required(name: str, in_debug: str) -> str:
    value = os.environ.get(name) or (in_debug if DEBUG else "")
    if not value:
        raise ImproperlyConfigured(f"Set the environment variable {name} (or LANEPROOF_DEBUG=1 for a local copy).")
    return value


SECRET_KEY = KEPT_KEY or _required("SECRET_KEY", "only-for-a-local-copy-" + "0" * 40)
ALLOWED_HOSTS = [host for host in os.environ.get("LANEPROOF_HOSTS", "").split(",") if host] or (["*"] if DEBUG else [])
PROXIES = int(os.environ.get("LANEPROOF_PROXIES", "0"))

DATABASES = {
    "default": dj_database_url.parse(
        os.environ.get("DATABASE_URL") or (postgres.start() if DEBUG or KEPT_KEY else _required("DATABASE_URL", "")),
        conn_max_age=60,
        conn_health_checks=True,
    )
}

INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "whitenoise.runserver_nostatic",
    "django.contrib.staticfiles",
    "django.contrib.postgres",
    "pgtrigger",
    "pghistory",
    "axes",
    "csp",
    "django_htmx",
    "drf_spectacular",
    "rest_framework",
    "rest_framework.authtoken",  # its table is empty: backups from before our own tokens have it
    "django_otp",
    "django_otp.plugins.otp_totp",
    "django_otp.plugins.otp_static",
    "procrastinate.contrib.django",
    "playbook.apps.PlaybookConfig",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "playbook.web.keep_private",
    "playbook.web.unindexed",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django_otp.middleware.OTPMiddleware",
    "playbook.people.second.ask",
    "pghistory.middleware.HistoryMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
    "playbook.web.refuse_null",
    "playbook.sending.keep_once",
]

ROOT_URLCONF = "playbook.urls"
WSGI_APPLICATION = "playbook.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "playbook.web.navigation",
            ]
        },
    }
]

LANGUAGE_CODE = "en-us"
TIME_ZONE = "UTC"
USE_TZ = True
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# People and log-ins
AUTH_USER_MODEL = "playbook.User"
LOGIN_URL = "people:log-in"
LOGIN_REDIRECT_URL = LOGOUT_REDIRECT_URL = "home:start"
SESSION_ENGINE = "playbook.models.signing"
SECOND_FACTOR = os.environ.get("LANEPROOF_SECOND_FACTOR", "")
if SECOND_FACTOR not in ("", "staff"):
    raise ImproperlyConfigured(f"LANEPROOF_SECOND_FACTOR: expected staff or nothing, got {SECOND_FACTOR!r}.")
OTP_TOTP_ISSUER = "Laneproof"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "playbook.people.throttle.Fence",
    "django.contrib.auth.backends.ModelBackend",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
    {"NAME": "playbook.people.passwords.NoKnownWords"},
]
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]  # one player's typing errors must not shut out a locker room
AXES_FAILURE_LIMIT = 6
AXES_COOLOFF_TIME = 0.25  # hours
AXES_RESET_ON_SUCCESS = True
AXES_LOCKOUT_TEMPLATE = "people/locked.html"
AXES_CLIENT_IP_CALLABLE = "playbook.web.client_address"
PASSWORD_RESET_TIMEOUT = 3 * 24 * 3600

# Safety in the browser
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = not PLAIN
SESSION_COOKIE_HTTPONLY = CSRF_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = CSRF_COOKIE_SAMESITE = "Lax"
SECURE_HSTS_SECONDS = 0 if PLAIN else 30 * 24 * 3600
SECURE_SSL_REDIRECT = not PLAIN
SECURE_REDIRECT_EXEMPT = [r"^alive$"]  # the health check comes from inside, without TLS
if PROXIES:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
CSRF_TRUSTED_ORIGINS = [f"https://{host}" for host in ALLOWED_HOSTS if host != "*"]
CSRF_TRUSTED_ORIGINS += [origin for origin in os.environ.get("LANEPROOF_ORIGINS", "").split(",") if origin]
X_FRAME_OPTIONS = "DENY"
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [NONE],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF, "data:"],
        "font-src": [SELF],
        "connect-src": [SELF],
        "manifest-src": [SELF],
        "form-action": [SELF],
        "base-uri": [NONE],
        "frame-ancestors": [NONE],
    }
}
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000

# Files
STATIC_URL = "static/"
STATIC_ROOT = Path(os.environ.get("LANEPROOF_STATIC") or BASE_DIR / "staticfiles")
STATICFILES_DIRS = [BASE_DIR / "static"]
WHITENOISE_USE_FINDERS = WHITENOISE_AUTOREFRESH = DEBUG
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"
        if DEBUG
        else "whitenoise.storage.CompressedManifestStaticFilesStorage"
    },
}

# Background work: each capability names the module with its tasks here
PROCRASTINATE_IMPORT_PATHS = [
    "playbook.tasks",
    "playbook.charts.tasks",
    "playbook.proof.tasks",
    "playbook.exports.tasks",
    "playbook.publishing.tasks",
]

# API
REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "playbook.api.tokens.DigestAuthentication",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["playbook.access.LeadsWriteAllRead"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["playbook.api.reading.MeasuredJSON"],
    "DEFAULT_FILTER_BACKENDS": ["playbook.api.params.Filters"],
    "DEFAULT_PAGINATION_CLASS": "playbook.api.paging.Pages",
    "DEFAULT_SCHEMA_CLASS": "playbook.api.schema.Schema",
    "EXCEPTION_HANDLER": "playbook.api.problems.handle",
    "URL_FORMAT_OVERRIDE": None,
    "DEFAULT_VERSIONING_CLASS": None,
    "TEST_REQUEST_DEFAULT_FORMAT": "json",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Laneproof",
    "DESCRIPTION": "The staff's system, opponents, looks, weeks. All who sign in read; admins and coordinators write.",
    "VERSION": "1",
    "SERVE_PERMISSIONS": ["playbook.access.SignedIn"],
    "SERVE_INCLUDE_SCHEMA": False,
    "COMPONENT_SPLIT_REQUEST": True,
    "POSTPROCESSING_HOOKS": [
        "drf_spectacular.hooks.postprocess_schema_enums",
        "playbook.api.schema.tighten",
    ],
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"console": {"class": "logging.StreamHandler"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
    "loggers": {
        "axes": {"level": "WARNING"},
        "procrastinate": {"level": "WARNING"},
        "django.request": {"level": "ERROR"},  # a mistyped address or form is no trouble of whoever runs the program
    },
}
