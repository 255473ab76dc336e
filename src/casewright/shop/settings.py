"""Django's settings, from the few environment variables that `casewright serve` sets.

CASEWRIGHT_HOME      folder for the database and photographs (default: casewright-data beside you)
CASEWRIGHT_DATABASE  a postgres:// URL where several benches share one shop (default: SQLite)
CASEWRIGHT_LOGIN     "1": every page needs a login (set when bound to more than loopback)
CASEWRIGHT_HOSTS     names under which it may be reached, comma separated
CASEWRIGHT_SECRET    secret key; made and kept in CASEWRIGHT_HOME where not given
"""

from __future__ import annotations

import os
from pathlib import Path

from casewright.shop.home import database, secret_key

HOME = Path(os.environ.get("CASEWRIGHT_HOME", "casewright-data"))
SECRET_KEY = os.environ.get("CASEWRIGHT_SECRET") or secret_key(HOME)
DEBUG = False
ALLOWED_HOSTS = ["127.0.0.1", "localhost", "[::1]", "testserver"] + [
    host for host in os.environ.get("CASEWRIGHT_HOSTS", "").split(",") if host
]
INSTALLED_APPS = [
    "django.contrib.auth",
    "django.contrib.contenttypes",
    "django.contrib.sessions",
    "django.contrib.staticfiles",
    "casewright.shop.apps.ShopConfig",
]
MIDDLEWARE = [
    "django.middleware.security.SecurityMiddleware",
    "whitenoise.middleware.WhiteNoiseMiddleware",
    # A room is up to 260 kB of text and an eighth of that packed: a workshop's Wi-Fi is thin.
    "django.middleware.gzip.GZipMiddleware",
    "django.contrib.sessions.middleware.SessionMiddleware",
    "django.middleware.common.CommonMiddleware",
    "django.middleware.csrf.CsrfViewMiddleware",
    "django.contrib.auth.middleware.AuthenticationMiddleware",
    "django.middleware.clickjacking.XFrameOptionsMiddleware",
    "casewright.shop.middleware.OnlyOurOwnContent",
]
if os.environ.get("CASEWRIGHT_LOGIN") == "1":
    MIDDLEWARE.append("django.contrib.auth.middleware.LoginRequiredMiddleware")
ROOT_URLCONF = "casewright.shop.urls"
WSGI_APPLICATION = "casewright.shop.wsgi.application"
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.jinja2.Jinja2",
        "DIRS": [
            Path(__file__).parent / "templates",
            Path(__file__).parents[1] / "book" / "templates",
        ],
        "OPTIONS": {"environment": "casewright.shop.templating.environment"},
    }
]
DATABASES = {"default": database(HOME, os.environ.get("CASEWRIGHT_DATABASE", ""))}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
STATIC_URL = "/static/"
STATIC_ROOT = HOME / "static"
WHITENOISE_USE_FINDERS = True
WHITENOISE_AUTOREFRESH = False
USE_TZ = True
TIME_ZONE = "UTC"
LOGIN_URL = "/login/"
LOGIN_REDIRECT_URL = "/"
DATA_UPLOAD_MAX_MEMORY_SIZE = 8_000_000
SESSION_COOKIE_AGE = 60 * 60 * 24 * 90
SESSION_COOKIE_SAMESITE = "Lax"
CSRF_COOKIE_SAMESITE = "Lax"
CSRF_FAILURE_VIEW = "casewright.shop.pages.stale_form"
SECURE_CONTENT_TYPE_NOSNIFF = True
X_FRAME_OPTIONS = "DENY"
PASSWORD_HASHERS = ["django.contrib.auth.hashers.ScryptPasswordHasher"]
