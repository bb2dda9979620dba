"""Wiring only. Every value that a company may set comes from env.py."""

from __future__ import annotations

from datetime import timedelta

from csp.constants import NONE, SELF

from jobs.project import env

ENV = env.read()

DEBUG = False
SECRET_KEY = ENV.secret_key
ALLOWED_HOSTS = ENV.hosts
STEMWALL_URL = ENV.url
CSRF_TRUSTED_ORIGINS = [ENV.url]

INSTALLED_APPS = [
    "jobs.project.apps.OfficeAdminConfig",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "axes",
    "csp",
    "django_filters",
    "rest_framework",
    "rest_framework.authtoken",
    "drf_spectacular",
    "drf_spectacular_sidecar",
    "engineering",
    "jobs",
    "reports",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "axes.middleware.AxesMiddleware",
]

ROOT_URLCONF = "jobs.project.urls"
WSGI_APPLICATION = "jobs.project.wsgi.application"
ASGI_APPLICATION = "jobs.project.asgi.application"

TEMPLATES = [
    {
        "BACKEND": "django.template.backends.django.DjangoTemplates",
        "APP_DIRS": True,
        "OPTIONS": {
            "context_processors": [
                "django.template.context_processors.request",
                "django.contrib.auth.context_processors.auth",
                "django.contrib.messages.context_processors.messages",
                "jobs.web.nav.navigation",
            ],
        },
    }
]

DATABASES = {"default": ENV.database}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

AUTH_USER_MODEL = "jobs.User"
AUTHENTICATION_BACKENDS = ["axes.backends.AxesStandaloneBackend", "django.contrib.auth.backends.ModelBackend"]
PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": "django.contrib.auth.password_validation.UserAttributeSimilarityValidator"},
    {"NAME": "django.contrib.auth.password_validation.MinimumLengthValidator", "OPTIONS": {"min_length": 12}},
    {"NAME": "django.contrib.auth.password_validation.CommonPasswordValidator"},
]
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "home"
LOGOUT_REDIRECT_URL = "login"
AXES_FAILURE_LIMIT = 10
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_LOCKOUT_TEMPLATE = "jobs/locked_out.html"
AXES_RESET_ON_SUCCESS = True

LANGUAGE_CODE = "en-us"
TIME_ZONE = "America/Los_Angeles"
USE_TZ = True

STATIC_URL = "static/"
STATIC_ROOT = ENV.var / "static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)  # an empty one is fine: finders serve until collectstatic fills it
MEDIA_ROOT = ENV.var / "files"
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
}
WHITENOISE_USE_FINDERS = True
if ENV.s3_bucket:
    # Credentials and endpoint come from the standard AWS_* variables.
    STORAGES["default"] = {
        "BACKEND": "storages.backends.s3.S3Storage",
        "OPTIONS": {"bucket_name": ENV.s3_bucket, "file_overwrite": False, "querystring_auth": True},
    }

REST_FRAMEWORK = {
    "DEFAULT_AUTHENTICATION_CLASSES": [
        "rest_framework.authentication.TokenAuthentication",
        "rest_framework.authentication.SessionAuthentication",
    ],
    "DEFAULT_PERMISSION_CLASSES": ["jobs.api.permissions.RolePermission"],
    "DEFAULT_PAGINATION_CLASS": "jobs.api.pagination.Pages",
    "DEFAULT_FILTER_BACKENDS": ["jobs.api.filters.KnownFilters"],
    "DEFAULT_RENDERER_CLASSES": ["rest_framework.renderers.JSONRenderer"],
    "DEFAULT_PARSER_CLASSES": ["jobs.api.parsers.PlainJson"],
    "DEFAULT_SCHEMA_CLASS": "drf_spectacular.openapi.AutoSchema",
    "EXCEPTION_HANDLER": "jobs.api.errors.problem_response",
    "TEST_REQUEST_DEFAULT_FORMAT": "json",
}
SPECTACULAR_SETTINGS = {
    "TITLE": "Stemwall",
    "DESCRIPTION": "Jobs, houses, wall lines, designs, packets and field work of a seismic retrofit company.",
    "VERSION": "0.1.0",
    "OAS_VERSION": "3.1.0",
    "SERVE_INCLUDE_SCHEMA": False,
    "SWAGGER_UI_DIST": "SIDECAR",
    "SWAGGER_UI_FAVICON_HREF": "SIDECAR",
    "COMPONENT_SPLIT_REQUEST": True,
    "ENUM_NAME_OVERRIDES": {
        "Stage": "jobs.models.Stage",
        "SegmentKind": "jobs.models.SegmentKind",
        "ConnectorKind": "jobs.models.ConnectorKind",
        "FieldEventKind": "jobs.models.FieldEventKind",
        "DocumentKind": "reports.models.Kind",
    },
    "POSTPROCESSING_HOOKS": [
        "drf_spectacular.hooks.postprocess_schema_enums",
        "jobs.api.schema.name_the_problem",
    ],
}

CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "img-src": [SELF, "data:"],
        "object-src": [NONE],
        "frame-src": [SELF],
        "base-uri": [SELF],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"  # but for the PDFs that a page shows inline: their views say so
SESSION_COOKIE_HTTPONLY = True
SESSION_COOKIE_SAMESITE = "Lax"
if ENV.company:
    SECURE_SSL_REDIRECT = True
    SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    SECURE_HSTS_SECONDS = 365 * 24 * 3600
    SECURE_HSTS_INCLUDE_SUBDOMAINS = True
    SECURE_HSTS_PRELOAD = True
    SESSION_COOKIE_SECURE = True
    CSRF_COOKIE_SECURE = True

DATA_UPLOAD_MAX_MEMORY_SIZE = 4 * 1024 * 1024
FILE_UPLOAD_MAX_MEMORY_SIZE = 4 * 1024 * 1024
STEMWALL_UPLOAD_LIMIT_MB = 64
STEMWALL_LEASE_S = 30  # how long a document waits for a worker that went silent

# The row in the database is the truth; a message is only a hint, so the simplest broker will do.
CELERY_TASK_IGNORE_RESULT = True
CELERY_TASK_ACKS_LATE = True
CELERY_TASK_REJECT_ON_WORKER_LOST = True
CELERY_WORKER_CONCURRENCY = 2
CELERY_WORKER_PREFETCH_MULTIPLIER = 1
CELERY_BROKER_CONNECTION_RETRY_ON_STARTUP = True
CELERY_BEAT_SCHEDULE_FILENAME = str(ENV.var / "beat-schedule")
CELERY_BEAT_MAX_LOOP_INTERVAL = 1  # so that a stop need not wait for the next sweep
CELERY_BEAT_SCHEDULE = {"sweep": {"task": "reports.tasks.sweep", "schedule": 10.0}}
if ENV.redis_url:
    # Several web processes count together what one address may ask for.
    CACHES = {"default": {"BACKEND": "django.core.cache.backends.redis.RedisCache", "LOCATION": ENV.redis_url}}
    CELERY_BROKER_URL = ENV.redis_url
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        "visibility_timeout": 900,  # longer than the longest task
        "unacked_restore_interval": 2,
        "unacked_restore_throttle": 1,
        "max_retries": 1,  # a page must not wait for a broker that is away: the sweep sends the message later
        "socket_connect_timeout": 2,
    }
else:
    CELERY_BROKER_URL = "filesystem://localhost"
    CELERY_BROKER_TRANSPORT = "jobs.project.broker:Transport"
    for folder in ("broker", "broker-control"):
        (ENV.var / folder).mkdir(parents=True, exist_ok=True)
    CELERY_BROKER_TRANSPORT_OPTIONS = {
        "data_folder_in": str(ENV.var / "broker"),
        "data_folder_out": str(ENV.var / "broker"),
        "control_folder": str(ENV.var / "broker-control"),
        "polling_interval": 0.1,
    }

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"plain": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "plain"}},
    "root": {"handlers": ["console"], "level": "WARNING"},
}
