"""The page of bench sums: usable without a job, nothing typed is lost, kept once where told to."""

from __future__ import annotations

import json

import pytest
from django.test import Client
from markupsafe import escape as markupsafe_escape

from casewright.job.fold import fold
from casewright.shop.store import DatabaseStore
from casewright.sums import SUMS
from casewright.voice.rooms import document
from tests.phases.cast import SETTINGS, log_of, opening
from tests.unit.sums.test_sums import EXAMPLES

pytestmark = pytest.mark.django_db


def test_home_leads_to_the_sums_and_they_need_no_job(client: Client) -> None:
    assert 'href="/sums/"' in client.get("/").content.decode()
    page = client.get("/sums/").content.decode()
    for key, one in SUMS.items():
        assert f'href="/sums/{key}/"' in page
        assert str(markupsafe_escape(one.title)) in page


@pytest.mark.parametrize("key", sorted(SUMS))
def test_every_sum_has_its_form_caution_and_answer(client: Client, key: str) -> None:
    empty = client.get(f"/sums/{key}/")
    assert empty.status_code == 200
    assert 'class="caution"' in empty.content.decode()
    answered = client.get(f"/sums/{key}/", EXAMPLES[key])
    page = answered.content.decode()
    assert answered.status_code == 200
    assert "The answer" in page
    assert "Source" in page or key == "unit"
    assert DatabaseStore().jobs() == ()


def test_a_mistake_stands_beside_its_field_and_all_stays_typed(client: Client) -> None:
    told = EXAMPLES["press-fit"] | {"hub_outside": "35 mm", "hub": "bronze"}
    answer = client.get("/sums/press-fit/", told)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert 'id="s-hub_outside-wrong"' in page
    for text in ("40.051 mm", "40.018 mm", "35 mm"):
        assert f'value="{text}"' in page
    assert '<option value="bronze" selected>' in page


def test_an_unknown_sum_is_not_found(client: Client) -> None:
    assert client.get("/sums/horoscope/").status_code == 404


def test_what_was_gone_by_is_kept_once_and_shown_in_log_and_book(client: Client, job: str) -> None:
    told = EXAMPLES["adapter"] | {"job": job, "id": "kept-sum-1"}
    for _ in range(2):
        assert client.post("/sums/adapter/keep/", told).status_code == 302
    entries = DatabaseStore().read(job).entries
    assert [one.entry.kind for one in entries[2:]] == ["calculation"]
    body = entries[-1].entry.body
    assert body["inputs"]["Torque"] == "100 N·m"
    assert body["outputs"]["Set or read the wrench at"] == "91.88 N·m"
    assert "cos" in body["formula"]
    assert "91.88 N·m" in client.get(f"/job/{job}/log/").content.decode()
    for path in ("proof/", "book.html"):
        page = client.get(f"/job/{job}/{path}").content.decode()
        assert "Sums gone by" in page
        assert "91.88 N·m" in page


def test_keeping_needs_a_job_and_a_name(job: str) -> None:
    nobody = Client()
    told = EXAMPLES["adapter"] | {"id": "kept-sum-2"}
    assert nobody.post("/sums/adapter/keep/", told | {"job": job}).status_code == 422
    assert nobody.post("/sums/adapter/keep/", told | {"who": "AB", "job": "x"}).status_code == 422
    named = nobody.post("/sums/adapter/keep/", told | {"who": "AB", "job": job})
    assert named.status_code == 302


def test_words_typed_are_never_markup(client: Client) -> None:
    page = client.get("/sums/preload/", {"designation": "<script>x</script>"}).content.decode()
    assert "<script>x" not in page


def test_a_signature_with_open_gaps_is_refused_at_the_api_too(client: Client) -> None:
    from tests.phases.proof_cast import CARRIER, opened

    for made in log_of([*opening(), *opened(*CARRIER)]):
        DatabaseStore().append("job-2", made.entry)
    entry = {
        "id": "sign-entry-1", "kind": "signed-off", "who": "AB", "version": 1,
        "happened_at": "2026-03-05T09:00:00+00:00", "body": {"signed_by": "AB", "exceptions": []},
    }  # fmt: skip

    def send() -> tuple[int, str]:
        answer = client.post("/api/jobs/job-2/entries", json.dumps(entry), "application/json")
        return answer.status_code, answer.content.decode()

    status, said = send()
    assert status == 422
    assert "sealing test" in said
    state = fold(DatabaseStore().read("job-2").entries)
    from casewright.job.build import build
    from casewright.job.gaps import gaps
    from casewright.shop.desk import settings_for

    named = [
        {"item": g.item, "reason": "on its way"} for g in gaps(state, build(state), settings_for())
    ]
    entry["body"] = {"signed_by": "AB", "exceptions": named[:-1]}
    assert send()[0] == 422
    entry["body"] = {"signed_by": "AB", "exceptions": named}
    assert send()[0] == 201
    state = fold(DatabaseStore().read("job-2").entries)
    assert state.signed is not None
    assert document("handover", state, SETTINGS).title
