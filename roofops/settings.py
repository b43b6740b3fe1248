"""Settings, one module for every way of running; the environment chooses.

With nothing set, roofops runs embedded: SQLite and a file queue in one data folder. DATABASE_URL and REDIS_URL
switch to PostgreSQL and Redis, ROOFOPS_PRODUCTION to hashed static files and HTTPS only. The variables are listed in
DEVELOPERS.md.
"""

from pathlib import Path

import environ
import structlog
from csp.constants import NONE, SELF
from django.core.exceptions import ImproperlyConfigured
from django.utils.translation import gettext_lazy as _

from roofops.data_folder import prepare_data_folder, secret_key

env = environ.Env()
BASE_DIR = Path(__file__).resolve().parent.parent

DATA_DIR = prepare_data_folder(Path(env.str("ROOFOPS_DATA", default=str(BASE_DIR / "data"))))
PHOTO_DIR = DATA_DIR / "photos"

PRODUCTION = env.bool("ROOFOPS_PRODUCTION", default=False)
# HTTPS only. Apart from PRODUCTION so that a trial behind no proxy can still use the production static files.
SECURE = env.bool("ROOFOPS_SECURE", default=PRODUCTION)
# A developer's switch; the embedded default shows friendly error pages like production does.
DEBUG = env.bool("ROOFOPS_DEBUG", default=False)
if PRODUCTION and DEBUG:
    raise ImproperlyConfigured("ROOFOPS_DEBUG and ROOFOPS_PRODUCTION exclude each other.")

SECRET_KEY = env.str("ROOFOPS_SECRET_KEY", default="") or secret_key(DATA_DIR)
ALLOWED_HOSTS = env.list("ROOFOPS_HOSTS", default=["localhost", "127.0.0.1", "[::1]"])
CSRF_TRUSTED_ORIGINS = env.list("ROOFOPS_ORIGINS", default=[])

INSTALLED_APPS = [
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.humanize",
    "django.contrib.messages",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "django_htmx",
    "django_structlog",
    "simple_history",
    "roofops",
    "roofops.record",
    "roofops.access",
    "roofops.pages",
    "jobs",
    "weather",
    "crews",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "django_structlog.middlewares.RequestMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.locale.LocaleMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "csp.middleware.CSPMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "simple_history.middleware.HistoryRequestMiddleware",
    "roofops.access.middleware.AccessMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "roofops.urls"
WSGI_APPLICATION = "roofops.wsgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "DIRS": [BASE_DIR / "templates"],
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.template.context_processors.i18n",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
            ],
        },
    },
]

# --- Database -------------------------------------------------------------------------------------------------------
DATABASE_URL = env.str("DATABASE_URL", default="")
if DATABASE_URL:
    DATABASES = {"default": env.db_url_config(DATABASE_URL)}
    # None keeps a connection for ever; the health check replaces one that the server dropped.
    DATABASES["default"] |= {"CONN_MAX_AGE": None, "CONN_HEALTH_CHECKS": True}
else:
    DATABASES = {
        "default": {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": DATA_DIR / "roofops.sqlite3",
            "OPTIONS": {
                # A transaction takes the write lock at its start: read-then-write never fails with "locked".
                "transaction_mode": "IMMEDIATE",
                "timeout": 20,
                "init_command": (
                    "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL; PRAGMA mmap_size=134217728;"
                    " PRAGMA journal_size_limit=27103364; PRAGMA cache_size=2000;"
                ),
            },
        }
    }
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

# --- Background work ------------------------------------------------------------------------------------------------
REDIS_URL = env.str("REDIS_URL", default="")
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_DEFAULT_QUEUE = "roofops"
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_WORKER_HIJACK_ROOT_LOGGER = False
CELERY_WORKER_CANCEL_LONG_RUNNING_TASKS_ON_CONNECTION_LOSS = True
# A half-open Redis connection leaves a worker deaf for good in its blocking pub/sub read, so there is no pub/sub.
CELERY_WORKER_ENABLE_REMOTE_CONTROL = False
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_TIMEZONE = "UTC"
if REDIS_URL:
    CELERY_BROKER_URL = REDIS_URL
    CELERY_TASK_SOFT_TIME_LIMIT = 1500
    CELERY_TASK_TIME_LIMIT = 1800
    CELERY_WORKER_MAX_TASKS_PER_CHILD = 200
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        # Longer than the time limit, or Redis hands a running task out a second time.
        "visibility_timeout": 3600,
        "unacked_restore_interval": 10,
        "unacked_restore_throttle": 1,
        "socket_timeout": 10,
        "socket_connect_timeout": 5,
        "socket_keepalive": True,
        "health_check_interval": 25,
        "global_keyprefix": "roofops:",
    }
else:
    CELERY_BROKER_URL = "filesystem://"
    # Threads, because a killed idle child of a prefork pool leaves the file queue locked for good.
    CELERY_WORKER_POOL = "threads"
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        "data_folder_in": str(DATA_DIR / "queue" / "in"),
        "data_folder_out": str(DATA_DIR / "queue" / "in"),
        "control_folder": str(DATA_DIR / "queue" / "control"),
        "polling_interval": 0.05,
    }

# --- People ---------------------------------------------------------------------------------------------------------
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 10}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "/sign-in/"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "/sign-in/"

# One person's bad tries from one place lock that pair only: nobody can lock a colleague out from elsewhere.
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_FAILURE_LIMIT = 5
AXES_COOLOFF_TIME = 0.25  # hours
AXES_RESET_ON_SUCCESS = True
AXES_IPWARE_PROXY_COUNT = env.int("ROOFOPS_PROXY_COUNT", default=0)
AXES_LOCKOUT_TEMPLATE = "access/locked_out.html"

# --- HTTPS and what a page may load ---------------------------------------------------------------------------------
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = SECURE
SESSION_COOKIE_HTTPONLY = True
SECURE_SSL_REDIRECT = SECURE
SECURE_REDIRECT_EXEMPT = [r"^healthz$", r"^readyz$"]  # an orchestrator asks over plain HTTP
SECURE_HSTS_SECONDS = 31_536_000 if SECURE else 0
SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = SECURE
SECURE_REFERRER_POLICY = "same-origin"
SECURE_CONTENT_TYPE_NOSNIFF = True
SECURE_CROSS_ORIGIN_OPENER_POLICY = "same-origin"
if AXES_IPWARE_PROXY_COUNT:
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
X_FRAME_OPTIONS = "DENY"

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "blob:"],
        "object-src": [NONE],
        "base-uri": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
        "worker-src": [SELF],
        "manifest-src": [SELF],
    }
}

# --- Files, languages, time -----------------------------------------------------------------------------------------
STATIC_URL = "/static/"
STATIC_ROOT = DATA_DIR / "static"
WHITENOISE_USE_FINDERS = not PRODUCTION
WHITENOISE_AUTOREFRESH = DEBUG
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": (
            "whitenoise.storage.CompressedManifestStaticFilesStorage"
            if PRODUCTION
            else "django.contrib.staticfiles.storage.StaticFilesStorage"
        )
    },
}
# Photos are only ever served by a view that checks the yard, so there is no public MEDIA_URL.
MEDIA_ROOT = PHOTO_DIR
DATA_UPLOAD_MAX_MEMORY_SIZE = 5 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024

LANGUAGE_CODE = "en"
LANGUAGES = [("en", _("English")), ("es", _("Spanish"))]
LOCALE_PATHS = [BASE_DIR / "roofops" / "locale"]
USE_I18N = True
USE_TZ = True
TIME_ZONE = "UTC"

# --- Weather --------------------------------------------------------------------------------------------------------
# An e-mail address or page the weather service may turn to. Empty: the NWS source is off.
ROOFOPS_WEATHER_CONTACT = env.str("ROOFOPS_WEATHER_CONTACT", default="")
ROOFOPS_NWS_URL = env.str("ROOFOPS_NWS_URL", default="https://api.weather.gov")

# --- Logs: one JSON object a line -----------------------------------------------------------------------------------
_SHARED_LOG_STEPS: list[structlog.typing.Processor] = [
    structlog.contextvars.merge_contextvars,
    structlog.stdlib.add_logger_name,
    structlog.stdlib.add_log_level,
    structlog.processors.TimeStamper(fmt="iso", utc=True),
    structlog.processors.format_exc_info,
]
LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {
        "json": {
            "()": structlog.stdlib.ProcessorFormatter,
            "processor": structlog.processors.JSONRenderer(),
            "foreign_pre_chain": _SHARED_LOG_STEPS,
        }
    },
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "json"}},
    "root": {"handlers": ["console"], "level": env.str("ROOFOPS_LOG_LEVEL", default="INFO")},
    # django.server and django's own console handler would print each line twice.
    "loggers": {"django": {"handlers": [], "propagate": True}, "axes": {"level": "WARNING"}},
}
structlog.configure(
    processors=[
        structlog.stdlib.filter_by_level,
        *_SHARED_LOG_STEPS,
        structlog.stdlib.ProcessorFormatter.wrap_for_formatter,
    ],
    logger_factory=structlog.stdlib.LoggerFactory(),
    cache_logger_on_first_use=True,
)
