"""Forty minutes of work, then ten readings typed in one go, each with its own time."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from casewright.errors import InputError
from casewright.job.entry import Entry
from casewright.job.fold import fold
from tests.journeys.bench import Bench

TEN = (
    ("09:01", "ahead-cup-seat", "79.960 mm"),
    ("09:05", "lower-cup-seat", "71.968 mm"),
    ("09:09", "carrier-bore", "98.020 mm"),
    ("09:13", "top-flange", "0.05 mm"),
    ("09:17", "bore-squareness", "0.03 mm"),
    ("09:21", "prop-shaft-groove", "0.04 mm"),
    ("09:25", "prop-shaft-land", "29.985 mm"),
    ("09:29", "drive-shaft-journal", "29.987 mm"),
    ("09:33", "dog-edges", "0.30 mm"),
    ("09:37", "pump-plate", "0.12 mm"),
)


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    bench = Bench(tmp_path).open()
    bench.clock += timedelta(hours=5)
    for clock, target, value in TEN:
        bench.say("reading", target=target, values=(value,), at=f"2026-03-04T{clock}:00+00:00")
    return bench


def test_every_reading_keeps_its_own_time_and_the_time_of_typing(bench: Bench) -> None:
    readings = bench.state.readings
    assert [r.happened_at[11:16] for r in readings] == [clock for clock, *_ in TEN]
    recorded = [a.recorded_at for a in bench.log.entries[2:]]
    assert all(moment > "2026-03-04T13:00" for moment in recorded)
    assert recorded == sorted(recorded)


def test_the_chain_follows_the_typing_and_not_the_happening(bench: Bench) -> None:
    assert [a.sequence for a in bench.log.entries] == list(range(1, 13))
    assert bench.log.oddities == ()


def test_typed_in_any_order_the_rooms_say_the_same(bench: Bench, tmp_path: Path) -> None:
    other = Bench(tmp_path / "other").open()
    other.clock += timedelta(hours=5)
    for clock, target, value in reversed(TEN):
        other.say("reading", target=target, values=(value,), at=f"2026-03-04T{clock}:00+00:00")
    assert other.text("inspect") == bench.text("inspect")
    assert other.log.head != bench.log.head


def test_all_ten_stand_in_the_room(bench: Bench) -> None:
    said = bench.text("inspect").replace(" ", "")
    for _, target, value in TEN:
        number = value.removesuffix(" mm").rstrip("0")
        assert number in said, target


def test_a_late_as_found_reading_stands_before_the_trials(bench: Bench) -> None:
    bench.say("reading", target="ahead-lash", occasion="trial-1", values=("0.50 mm",))
    bench.say(
        "reading", target="ahead-lash", occasion="as-found", values=("0.93 mm",),
        at="2026-03-04T08:10:00+00:00",
    )  # fmt: skip
    found = bench.state.readings_of("ahead-lash", occasion="as-found")
    assert [r.body.values for r in found] == [("0.93 mm",)]
    assert bench.state.trials == ("trial-1",)


def test_a_time_without_its_zone_is_refused_and_nothing_is_lost(bench: Bench) -> None:
    before = bench.log.head
    with pytest.raises(InputError):
        bench.say("note", words="when was that?", at="2026-03-04T09:00:00")
    assert bench.log.head == before


def test_the_whole_batch_sent_twice_counts_once(bench: Bench) -> None:
    entries: list[Entry] = [a.entry for a in bench.log.entries[2:]]
    for entry in entries:
        bench.store.append("journey", entry)
    assert len(bench.log.entries) == 12
    assert len(fold(bench.log.entries).readings) == 10
