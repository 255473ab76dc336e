"""A limit that the sheet doesn't give is typed at the bench: from then on it counts, as an entry."""

from __future__ import annotations

from pathlib import Path

import pytest

from casewright.errors import FormErrors
from casewright.job.limits import limits_of
from tests.journeys.bench import Bench

TARGET = "prop-shaft-groove"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """A half-filled sheet; a groove of 0.08 mm was read on a shaft without a limit."""
    bench = Bench(tmp_path, "skeleton-twin-gear-leg").open()
    bench.say("reading", target=TARGET, values=("0.08 mm", "0.07 mm", "0.08 mm"))
    return bench


def in_force(bench: Bench) -> tuple[float | None, float | None]:
    limits = limits_of(bench.state, TARGET)
    assert limits is not None
    return limits.low, limits.high


def test_before_it_there_is_no_limit_and_the_room_says_what_that_costs(bench: Bench) -> None:
    assert in_force(bench) == (None, None)
    assert "not in the sheet" in bench.text("inspect").lower()


def test_typed_in_it_counts_for_readings_made_before(bench: Bench) -> None:
    before = bench.text("inspect")
    bench.say("limit-added", target=TARGET, high="0.05 mm", source="my manual p. 50")
    assert in_force(bench) == (None, pytest.approx(0.05e-3))
    after = bench.text("inspect")
    assert after != before
    assert "0.05" in after


def test_typed_in_inches_it_is_the_same_limit(bench: Bench) -> None:
    bench.say("limit-added", target=TARGET, high="0.002 in")
    assert in_force(bench)[1] == pytest.approx(0.002 * 25.4e-3)


def test_without_a_page_its_source_is_the_bench(bench: Bench) -> None:
    bench.say("limit-added", target=TARGET, high="0.05 mm")
    limits = limits_of(bench.state, TARGET)
    assert limits is not None
    assert limits.source == "typed at the bench"


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"target": TARGET, "high": "5 N·m"}, "high"),
        ({"target": TARGET}, "low"),
        ({"target": "no-such-thing", "high": "0.05 mm"}, "target"),
        ({"target": TARGET, "high": "about a hair"}, "high"),
    ],
)
def test_nonsense_is_refused_by_its_field(bench: Bench, body: dict[str, str], field: str) -> None:
    before = bench.log.head
    with pytest.raises(FormErrors) as caught:
        bench.say("limit-added", **body)
    assert [mistake.field for mistake in caught.value.mistakes] == [field]
    assert bench.log.head == before


def test_the_adopted_sheet_stays_as_it_was(bench: Bench) -> None:
    digest = bench.state.sheet_digest
    bench.say("limit-added", target=TARGET, high="0.05 mm")
    assert bench.state.sheet_digest == digest


def test_taken_back_the_gap_is_there_again_and_the_log_keeps_both(bench: Bench) -> None:
    made = bench.say("limit-added", target=TARGET, high="0.05 mm")
    bench.say("withdrawn", entry=made.entry.id, reason="that was the other model's page")
    assert in_force(bench) == (None, None)
    assert len(bench.log.entries) == 5


def test_a_window_for_a_response_works_alike(bench: Bench) -> None:
    bench.say("reading", target="ahead-lash", occasion="trial-1", values=("0.50 mm",))
    bench.say("limit-added", target="ahead-lash", low="0.35 mm", high="0.65 mm", source="p. 42")
    limits = limits_of(bench.state, "ahead-lash")
    assert limits is not None
    assert (limits.low, limits.high) == (pytest.approx(0.35e-3), pytest.approx(0.65e-3))
    assert "0.35" in bench.text("setup")
