"""The shop's folder: where the database, the secret and the photographs live."""

from __future__ import annotations

import secrets
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from casewright.errors import InputError


def secret_key(home: Path) -> str:
    """The secret kept in the shop's folder, made once."""
    path = home / "secret"
    if not path.exists():
        home.mkdir(parents=True, exist_ok=True)
        path.write_text(secrets.token_urlsafe(50), "utf-8")
        path.chmod(0o600)
    return path.read_text("utf-8").strip()


def database(home: Path, url: str) -> dict[str, Any]:
    """Django's database setting: SQLite in the shop's folder, or PostgreSQL by its URL."""
    (home / "static").mkdir(parents=True, exist_ok=True)
    if not url:
        return {
            "ENGINE": "django.db.backends.sqlite3",
            "NAME": home / "casewright.sqlite3",
            # A file in tests too: SQLite in memory locks whole tables between threads.
            "TEST": {"NAME": home / "test.sqlite3"},
            "OPTIONS": {
                "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
                "transaction_mode": "IMMEDIATE",
                "timeout": 20,
            },
        }
    parts = urlsplit(url)
    if parts.scheme not in ("postgres", "postgresql"):
        raise InputError("CASEWRIGHT_DATABASE", url, "a postgres:// URL, or nothing for SQLite")
    return {
        "ENGINE": "django.db.backends.postgresql",
        "NAME": parts.path.lstrip("/"),
        "USER": unquote(parts.username or ""),
        "PASSWORD": unquote(parts.password or ""),
        "HOST": parts.hostname or "",
        "PORT": parts.port or "",
    }
