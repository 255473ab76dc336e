"""What may follow what: refusals by field, all at once; questions instead of swallowing."""

from __future__ import annotations

from typing import Any

import pytest

from casewright.errors import EntryRefusedError, FormErrors, InputError
from casewright.job import kinds
from casewright.job.entry import Entry
from casewright.job.rules import check_entry
from casewright.job.state import State
from tests.phases.cast import MOMENT, job


def entry(kind: str, who: str = "AB", **body: Any) -> Entry:
    return Entry("some-entry-1", kind, body, who, MOMENT)


def refused(state: State, made: Entry) -> dict[str, str]:
    with pytest.raises(FormErrors) as caught:
        check_entry(state, made)
    return dict(caught.value.by_field())


def test_all_mistakes_of_a_reading_are_named_in_one_pass() -> None:
    wrong = entry(
        "reading", target="ahead-lash", values=["5 N", "abc"], temperature="warm", piece="nobody"
    )
    fields = refused(job(), wrong)
    assert set(fields) == {"values", "temperature", "piece"}
    assert "force" in fields["values"] or "length" in fields["values"]


def test_an_unknown_field_or_a_missing_one_is_named() -> None:
    fields = refused(job(), entry("reading", target="ahead-lash", colour="blue"))
    assert set(fields) == {"values", "colour"}


def test_a_size_cannot_be_negative_but_end_play_can() -> None:
    assert "values" in refused(job(), entry("reading", target="carrier-bore", values=["-98 mm"]))
    below = {"target": "propeller-play", "values": ["-0.2 mm"]}
    (asked,) = check_entry(job(), entry("reading", **below))
    assert "below zero" in asked.because
    assert check_entry(job(), entry("reading", **below, confirmed=True)) == ()


def test_a_slip_of_unit_is_asked_about_and_taken_when_confirmed() -> None:
    slip = entry("reading", target="ahead-lash", values=["0.02"], unit="mm")
    (asked,) = check_entry(job(), slip)
    assert "ahead lash" in asked.because
    sure = entry("reading", target="ahead-lash", values=["0.02"], unit="mm", confirmed=True)
    assert check_entry(job(), sure) == ()


@pytest.mark.parametrize(
    ("kind", "body", "field"),
    [
        (
            "fasteners-counted",
            {"joint": "cover-off", "places": [5], "fastener_state": "out"},
            "places",
        ),
        (
            "fasteners-counted",
            {"joint": "nowhere", "places": [1], "fastener_state": "out"},
            "joint",
        ),
        ("torque", {"joint": "cover-off", "step": 3, "value": "24 N·m"}, "step"),
        ("torque", {"joint": "cover-off", "step": 1, "value": "24 mm"}, "value"),
        ("pack-fitted", {"adjuster": "x", "occasion": "trial-1"}, "adjuster"),
        ("limit-added", {"target": "ahead-lash"}, "low"),
        ("limit-added", {"target": "ahead-lash", "low": "3 N·m"}, "low"),
        ("verdict", {"position": "moon", "decision": "replace", "reason": "gone"}, "position"),
        (
            "verdict",
            {"position": "lower.pinion", "piece": "x", "decision": "use again", "reason": "sound"},
            "piece",
        ),
        ("finding", {"position": "lower.pinion", "piece": "x", "severity": "destroyed"}, "piece"),
        (
            "leak-log",
            {"circuit": "x", "test": "full", "relative_to": "gauge", "text": "1"},
            "circuit",
        ),
        ("oil-filled", {"volume": "3 mm"}, "volume"),
        ("pack-fitted", {"adjuster": "ahead-pack", "occasion": "someday"}, "occasion"),
        ("lock-opened", {"lock": "carrier-out", "reason": ""}, "reason"),
    ],
)
def test_impossible_entries_name_their_field(kind: str, body: dict[str, Any], field: str) -> None:
    assert any(name.startswith(field) for name in refused(job(), entry(kind, **body)))


def test_a_job_is_opened_first_and_once() -> None:
    with pytest.raises(EntryRefusedError, match="isn't open"):
        check_entry(State(), entry("note", words="hello"))
    with pytest.raises(EntryRefusedError, match="open already"):
        check_entry(job(), entry("job-opened", title="again"))


def test_nobody_in_particular_can_say_nothing() -> None:
    with pytest.raises(InputError, match="who"):
        check_entry(job(), entry("note", who=" ", words="x"))


def test_a_reading_before_a_sheet_is_refused_in_words() -> None:
    opened = kinds.JobOpened(title="x")
    state = job()
    without = State(opened=state.opened)
    assert opened.title
    with pytest.raises(EntryRefusedError, match="adopt a drive sheet"):
        check_entry(without, entry("reading", target="x", values=["1 mm"]))
