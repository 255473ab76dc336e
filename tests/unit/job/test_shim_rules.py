"""Slips at the shim drawer are refused or asked about, each at its field."""

from __future__ import annotations

from typing import Any

import pytest

from casewright.errors import FormErrors
from casewright.job import kinds
from casewright.job.entry import Entry
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.units import Question
from tests.phases.cast import MOMENT, job


def check(state: State, kind: str, **body: Any) -> tuple[Question, ...]:
    """What an entry is asked about; FormErrors where it is refused."""
    return check_entry(state, Entry("entry-9", kind, body, "AB", MOMENT))


def pack(*shims: str, adjuster: str = "ahead-pack") -> tuple[Question, ...]:
    return check(job(), "pack-fitted", adjuster=adjuster, occasion="trial-1", shims=list(shims))


def shelf(size: str, measured: str = "") -> tuple[Question, ...]:
    return check(job(), "shelf-counted", lines=[{"size": size, "count": 2, "measured": measured}])


@pytest.mark.parametrize("text", ["0 mm", "-0.10 mm", "1e9 mm", "30", "0.30 in"])
def test_a_thickness_that_no_shim_has_is_refused(text: str) -> None:
    """The sheet's thickest is 0.50 mm: nothing of no thickness or ten times that."""
    with pytest.raises(FormErrors) as refused:
        pack("0.10 mm", text)
    assert [(one.field, one.given) for one in refused.value.mistakes] == [("shims", text)]
    assert pack("0.10 mm", "0.07 mm") == ()


def test_a_spacer_is_one_piece() -> None:
    assert pack("2.60 mm", adjuster="thrust-ring") == ()
    with pytest.raises(FormErrors, match="one piece"):
        pack("2.60 mm", "2.50 mm", adjuster="thrust-ring")


def test_what_an_earlier_repair_stacked_is_recorded_as_it_came_out() -> None:
    found = {"adjuster": "thrust-ring", "occasion": "as-found", "shims": ["2.60 mm", "0.10 mm"]}
    assert check(job(), "pack-fitted", **found) == ()


@pytest.mark.parametrize(
    ("size", "measured"), [("-0.10 mm", ""), ("0 mm", ""), ("0.10 mm", "0.50 mm"), ("1e9 mm", "")]
)
def test_a_shelf_line_that_cant_be_is_refused(size: str, measured: str) -> None:
    with pytest.raises(FormErrors):
        shelf(size, measured)
    assert shelf("0.10 mm", "0.104 mm") == ()


def test_old_and_new_far_apart_are_asked_about() -> None:
    """121.56 mm and 1215.6 mm: a slip that would go into the pack; 0.06 mm is a housing's."""
    old = kinds.Reading(
        target="dry-height-shoulder", piece="in:lower.housing", occasion="as-found",
        values=("121.50 mm",),
    )  # fmt: skip
    new = {"target": "dry-height-shoulder", "occasion": "trial-1"}
    (asked,) = check(job(old), "reading", **new, values=["1215.6 mm"])
    assert "goes into the pack" in asked.because
    assert check(job(old), "reading", **new, values=["121.56 mm"]) == ()
    assert check(job(), "reading", **new, values=["1215.6 mm"]) == ()


def test_a_height_below_zero_is_asked_about() -> None:
    body = {"target": "pinion-height", "occasion": "trial-1", "values": ["-0.65 mm"]}
    (asked,) = check(job(), "reading", **body)
    assert "below zero" in asked.because
    assert check(job(), "reading", **body, confirmed=True) == ()


def test_the_same_slip_in_four_boxes_is_told_once_and_missing_places_by_name() -> None:
    clock = ["12 o'clock", "3 o'clock", "6 o'clock", "9 o'clock"]
    body = {"target": "ahead-lash", "occasion": "trial-1", "at": clock}
    assert len(check(job(), "reading", **body, values=["400 mm"] * 4)) == 1
    with pytest.raises(FormErrors) as refused:
        check(job(), "reading", **body, values=["0.4°"] * 4)
    assert len(refused.value.mistakes) == 1
    with pytest.raises(FormErrors) as refused:
        check(job(), "reading", **body, values=["0.40 mm"] * 3)
    assert "3 read" in refused.value.sentence() and "9 o'clock" in refused.value.sentence()
