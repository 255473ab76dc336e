"""Readings of an earlier job: what left with the leg then is what comes in now."""

from __future__ import annotations

from dataclasses import replace

import pytest

from casewright.job import kinds
from casewright.job.earlier import earlier_readings
from casewright.job.entry import Accepted, Entry, accept
from casewright.job.fold import fold
from casewright.job.measured import measured_on
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.phases.inspect import view
from casewright.reasoning.wear import hours_to_limit
from tests.phases.cast import SETTINGS, job, log_of, opening

GROOVE, SHAFT = "prop-shaft-groove", "lower.prop.shaft"
OUT = kinds.StepDone(step="propeller-shaft-apart")
THEN, NOW = "2025-03-01T10:00:00+00:00", "2026-03-04T09:00:00+00:00"


def groove(*values: str, **more: object) -> kinds.Reading:
    texts = tuple(f"{value} mm" for value in values)
    return kinds.Reading(target=GROOVE, values=texts, **more)  # type: ignore[arg-type]


def dated(log: list[Accepted], moment: str) -> list[Accepted]:
    """The same entries at another time, chained anew."""
    found: list[Accepted] = []
    before = "0" * 64
    for number, one in enumerate(log, start=1):
        entry = replace(one.entry, happened_at=moment)
        found.append(accept(entry, number, moment, before))
        before = found[-1].hash
    return found


def then(*bodies: kinds.Body) -> State:
    """The job of a year ago."""
    known = kinds.InstrumentKnown(
        instrument="indicator 0.01", resolution="0.002 mm", uncertainty="0.003 mm"
    )
    owner = kinds.Complaint(words="hums", hours="1200 h")
    return fold(dated(log_of([*opening(), owner, known, OUT, *bodies]), THEN))


def with_entries(bodies: list[kinds.Body], entries: tuple[Entry, ...]) -> State:
    log = log_of([*opening(), *bodies])
    for entry in entries:
        assert check_entry(fold(log), entry) == ()
        log.append(accept(entry, len(log) + 1, NOW, log[-1].hash))
    return fold(log)


def brought(theirs: State, *bodies: kinds.Body) -> State:
    mine = [kinds.Complaint(words="hums again", hours="2400 h"), OUT, *bodies]
    found = earlier_readings(job(*mine), theirs, "then", "CD")
    return with_entries(mine, found.entries)


def life(state: State) -> object:
    shaft = next(one for one in view(state, SETTINGS).pieces if one.position == SHAFT)
    return next(one for one in shaft.features if one.feature.key == GROOVE).life


def test_wear_follows_from_the_reading_of_an_earlier_job_and_todays() -> None:
    state = brought(then(groove("0.010")), groove("0.03"))
    found = measured_on(state, GROOVE, "in:lower.prop.shaft")
    assert found is not None
    assert found.stands.values == pytest.approx((0.03e-3,))
    (before,) = found.others
    wear = life(state)
    assert wear is not None
    assert wear.apart == 1200 * 3600  # type: ignore[attr-defined]
    # Two readings with one instrument: its calibration (0.003/2 mm) is in both.
    shared = 1.5e-6**2 / (before.uncertainty * found.stands.uncertainty)
    expected = hours_to_limit(
        0.01e-3, before.uncertainty, 0.03e-3, found.stands.uncertainty, 1200 * 3600, 0.05e-3, shared
    )
    assert wear.found.even_chance == pytest.approx(expected.even_chance)  # type: ignore[attr-defined]
    # By hand: 0.02 mm in 1200 h leaves 0.02 mm, another 1200 h.
    assert wear.found.even_chance == pytest.approx(1200 * 3600, rel=1e-6)  # type: ignore[attr-defined]


def test_an_old_reading_alone_judges_nothing() -> None:
    state = brought(then(groove("0.09")))
    assert measured_on(state, GROOVE, "in:lower.prop.shaft") is None
    shaft = next(one for one in view(state, SETTINGS).pieces if one.position == SHAFT)
    line = next(one for one in shaft.features if one.feature.key == GROOVE)
    assert line.word == "unread"
    assert line.before is not None
    assert line.before.body.hours == "1200 h"


def test_a_finer_reading_of_an_earlier_visit_never_stands_for_todays() -> None:
    fine = groove("0.029", instrument="micrometer 0-25")
    state = brought(then(fine), groove("0.03"))
    found = measured_on(state, GROOVE, "in:lower.prop.shaft")
    assert found is not None
    assert found.stands.reading.body.values == ("0.03 mm",)


def test_what_was_replaced_then_is_read_on_the_piece_that_left_with_the_leg() -> None:
    new = kinds.PieceKnown(piece="shaft-2", position=SHAFT, part="prop-shaft", origin="new")
    placed = kinds.PiecePlaced(piece="shaft-2", position=SHAFT, occasion="final")
    theirs = then(groove("0.09"), new, placed, groove("0.001", piece="shaft-2", occasion="final"))
    found = earlier_readings(job(OUT), theirs, "then", "CD")
    assert [e.body["values"] for e in found.entries if e.kind == "reading"] == [["0.001 mm"]]


def test_asked_twice_it_makes_the_same_entries_and_brings_the_instrument_along() -> None:
    theirs = then(groove("0.01"))
    first, again = (earlier_readings(job(OUT), theirs, "then", who) for who in ("AB", "CD"))
    assert [one.id for one in first.entries] == [one.id for one in again.entries]
    assert (first.readings, first.instruments) == (1, 0)
    named = then(groove("0.01", instrument="indicator 0.01"))
    assert earlier_readings(job(OUT), named, "then", "AB").instruments == 1


def test_an_earlier_reading_typed_afterwards_with_its_hours_alone_is_the_earlier_one() -> None:
    owner = kinds.Complaint(words="hums", hours="2400 h")
    state = job(owner, OUT, groove("0.03"), groove("0.01", hours="1200 h"))
    found = measured_on(state, GROOVE, "in:lower.prop.shaft")
    assert found is not None
    assert found.stands.reading.body.values == ("0.03 mm",)
    wear = life(state)
    assert wear is not None
    assert not wear.by_calendar  # type: ignore[attr-defined]
