"""The JSON API holds to its own description, whatever is sent to it."""

from __future__ import annotations

from typing import Any

import pytest
import schemathesis
from django.test import Client
from hypothesis import HealthCheck, settings

from casewright.shop.api import openapi
from casewright.shop.store import DatabaseStore
from casewright.shop.wsgi import application
from tests.phases.cast import MOMENT, log_of, opening

pytestmark = pytest.mark.django_db
SCHEMA = schemathesis.openapi.from_dict(openapi())
SCHEMA.app = application


@pytest.fixture
def job() -> str:
    for made in log_of(opening()):
        DatabaseStore().append("job-1", made.entry)
    return "job-1"


def entry(**more: Any) -> dict[str, Any]:
    return {
        "id": "client-0001",
        "kind": "note",
        "body": {"words": "x"},
        "who": "AB",
        "happened_at": MOMENT,
        **more,
    }


@pytest.mark.django_db(transaction=True)
@SCHEMA.parametrize()
@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
def test_every_answer_is_one_that_the_description_promises(
    case: schemathesis.Case, job: str
) -> None:
    response = case.call()
    assert response.status_code < 500
    assert str(response.status_code) in case.operation.definition.raw["responses"] or (
        response.status_code in (404, 405)
    )


def send(client: Client, job: str, body: object) -> Any:
    return client.post(f"/api/jobs/{job}/entries", body, content_type="application/json")


def test_an_entry_is_taken_once_and_answered_with_its_hash(job: str) -> None:
    client = Client()
    first, again = (send(client, job, entry()) for _ in range(2))
    assert first.status_code == again.status_code == 201
    assert first.json() == again.json()
    assert client.get(f"/api/jobs/{job}").json()["head"] == first.json()["hash"]


def test_wrong_fields_are_named(job: str) -> None:
    answer = send(
        Client(), job, entry(kind="reading", body={"target": "ahead-lash", "values": ["5 N"]})
    )
    assert answer.status_code == 422
    assert "values" in answer.json()["fields"]


def test_an_odd_value_is_asked_about_before_it_is_taken(job: str) -> None:
    body = {"target": "ahead-lash", "values": ["9"], "unit": "mm"}
    answer = send(Client(), job, entry(kind="reading", body=body))
    assert answer.status_code == 409
    assert answer.json()["questions"]
    sure = send(Client(), job, entry(kind="reading", body={**body, "confirmed": True}))
    assert sure.status_code == 201


@pytest.mark.parametrize(
    ("body", "status"), [("[1]", 400), ("{", 400), ("{}", 422), ('{"id": 3}', 422)]
)
def test_what_is_no_entry_is_refused(job: str, body: str, status: int) -> None:
    assert send(Client(), job, body).status_code == status


def test_only_json_is_taken_so_that_no_foreign_form_can_post(job: str) -> None:
    assert Client().post(f"/api/jobs/{job}/entries", entry()).status_code == 415
