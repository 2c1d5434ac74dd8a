"""Django's settings. What differs from plant to plant comes from the environment.

DATABASE_URL              PostgreSQL, else SQLite in the data folder
DISTILLERY_DATA           the data folder, else .data beside manage.py
DISTILLERY_SECRET_KEY     the signing key, else one made once in the data folder
DISTILLERY_HOSTS          comma-separated host names that are answered
DISTILLERY_ADDRESS        what the QR codes on labels lead to, like https://book.example,
                          else the address by which the labels were asked for
DISTILLERY_TLS=1          served behind a TLS proxy: secure cookies, redirect, HSTS
DISTILLERY_DEBUG=1        Django's debug pages, on a developer's own machine only
"""

import os
from datetime import timedelta
from pathlib import Path

from csp.constants import NONE, SELF

from distillery.databases import database
from distillery.secret_key import secret_key

BASE_DIR = Path(__file__).resolve().parent.parent
DATA_DIR = Path(os.environ.get("DISTILLERY_DATA", BASE_DIR / ".data")).resolve()
STATIC_ROOT = DATA_DIR / "static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)

DEBUG = os.environ.get("DISTILLERY_DEBUG") == "1"
BEHIND_TLS = os.environ.get("DISTILLERY_TLS") == "1"
SECRET_KEY = secret_key(data_dir=DATA_DIR)
ALLOWED_HOSTS = os.environ.get("DISTILLERY_HOSTS", "localhost,127.0.0.1,[::1]").split(",")
# What QR codes on labels begin with; empty for the host that was asked.
PUBLIC_ADDRESS = os.environ.get("DISTILLERY_ADDRESS", "")

INSTALLED_APPS = [
    "ledger",
    "distillery",
    "reports",
    "django.contrib.admin",
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.messages",
    "django.contrib.staticfiles",
    "django_tables2",
    "django_htmx",
    "csp",
    "axes",
]

MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    "csp.middleware.CSPMiddleware",
    "distillery.sessions.Sessions",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.contrib.messages.middleware.MessageMiddleware",
    # A shared tablet locks after a rest.
    "distillery.locking.Locking",
    # Every view asks for a log-in unless it says otherwise.
    "distillery.locking.LogInOrChoose",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "django_htmx.middleware.HtmxMiddleware",
    "axes.middleware.AxesMiddleware",
    "distillery.odd_addresses.NoNul",
]

ROOT_URLCONF = "distillery.urls"
WSGI_APPLICATION = "distillery.wsgi.application"

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
                "distillery.context.plant",
            ],
        },
    },
]

# No ATOMIC_REQUESTS: the door into the book opens its own durable transaction.
DATABASES = {"default": database(data_dir=DATA_DIR)}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"

LANGUAGE_CODE = "en-us"
USE_I18N = False
USE_TZ = True
TIME_ZONE = "UTC"  # instants; each premises names the zone of its own business dates

# People and their passwords.
LOGIN_URL = "login"
LOGIN_REDIRECT_URL = "/"
LOGOUT_REDIRECT_URL = "login"
AUTHENTICATION_BACKENDS = [
    "axes.backends.AxesStandaloneBackend",
    "django.contrib.auth.backends.ModelBackend",
]
PASSWORD_HASHERS = [
    "django.contrib.auth.hashers.Argon2PasswordHasher",
    "django.contrib.auth.hashers.PBKDF2PasswordHasher",
]
AUTH_PASSWORD_VALIDATORS = [
    {"NAME": f"django.contrib.auth.password_validation.{name}"}
    for name in (
        "UserAttributeSimilarityValidator",
        "MinimumLengthValidator",
        "CommonPasswordValidator",
        "NumericPasswordValidator",
    )
]
AXES_LOCKOUT_PARAMETERS = [["username", "ip_address"]]
AXES_FAILURE_LIMIT = 10
AXES_COOLOFF_TIME = timedelta(minutes=15)
AXES_RESET_ON_SUCCESS = False  # only a password resets it, and no short code: log_ins.py
AXES_CLIENT_IP_CALLABLE = "distillery.proxies.client_address"
AXES_VERBOSE = False

# What a browser may load: our own files, nothing written into the page, no outside host.
CONTENT_SECURITY_POLICY = {
    "DIRECTIVES": {
        "default-src": [SELF],
        "script-src": [SELF],
        "style-src": [SELF],
        "img-src": [SELF],
        "object-src": [NONE],
        "base-uri": [NONE],
        "form-action": [SELF],
        "frame-ancestors": [NONE],
    }
}
X_FRAME_OPTIONS = "DENY"
SECURE_REFERRER_POLICY = "same-origin"
SESSION_COOKIE_SECURE = CSRF_COOKIE_SECURE = BEHIND_TLS
SECURE_SSL_REDIRECT = SECURE_HSTS_INCLUDE_SUBDOMAINS = SECURE_HSTS_PRELOAD = BEHIND_TLS
SECURE_HSTS_SECONDS = 365 * 24 * 3600 if BEHIND_TLS else 0
SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https") if BEHIND_TLS else None

# A records file comes through manage.py; a form or an offline queue stays far below this.
DATA_UPLOAD_MAX_MEMORY_SIZE = 2 * 1024 * 1024
DATA_UPLOAD_MAX_NUMBER_FIELDS = 5000

STATIC_URL = "static/"
# In production files carry their hash and are collected once; elsewhere they are served
# straight from the apps, so that nothing has to be collected before a first look.
WHITENOISE_USE_FINDERS = not BEHIND_TLS
STORAGES = {
    "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
    "staticfiles": {
        "BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"
        if BEHIND_TLS
        else "django.contrib.staticfiles.storage.StaticFilesStorage"
    },
}

LOGGING = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"line": {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}},
    "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": "line"}},
    "root": {"handlers": ["stderr"], "level": "WARNING"},
    "loggers": {"django": {"handlers": ["stderr"], "level": "INFO", "propagate": False}},
}
