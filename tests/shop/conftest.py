"""A browser's client that says who it is, and a job opened from a shipped sheet."""

from __future__ import annotations

import pytest
from django.test import Client

from casewright.shop.store import DatabaseStore
from tests.phases.cast import log_of, opening


@pytest.fixture
def client(db: None) -> Client:
    made = Client()
    made.post("/you/", {"who": "AB"})
    return made


@pytest.fixture
def job(db: None) -> str:
    for made in log_of(opening()):
        DatabaseStore().append("job-1", made.entry)
    return "job-1"
