"""The final build: what was read before a pack went in again is asked for again; bearings anew."""

from __future__ import annotations

import pytest

from casewright.job import kinds
from casewright.job.build import adjusters_of, bearings_of, final_reading, moved_by
from casewright.job.entry import Accepted, Entry, accept
from casewright.job.fold import fold
from casewright.job.kinds import Body
from casewright.job.state import State
from casewright.phases import handover
from casewright.phases.setup import SeatLine
from casewright.voice import say_setup
from casewright.voice.document import Table
from casewright.voice.quantities import Style
from tests.phases.cast import SETTINGS, job, opening
from tests.phases.test_setup import (
    CAME_OUT,
    FOUND,
    KEYS,
    MM,
    SIGNS,
    asks,
    conditions,
    look,
    rebuilt,
    replace_occasion,
)


def timed(bodies: list[tuple[int, Body]]) -> State:
    """A job whose entries happened at these minutes, typed in the order given."""
    log: list[Accepted] = []
    before = "0" * 64
    whole = [(0, body) for body in opening()] + bodies
    for number, (minute, body) in enumerate(whole, start=1):
        at = f"2026-03-04T{9 + minute // 60:02d}:{minute % 60:02d}:00+00:00"
        entry = Entry(f"entry-{number:03d}", body.KIND, body.model_dump(mode="json"), "AB", at)
        log.append(accept(entry, number, at, before))
        before = log[-1].hash
    return fold(log)


def final(key: str, *values: str) -> kinds.Reading:
    """A counted reading of the final build."""
    held = conditions(job(), key)
    return kinds.Reading(target=key, values=values, occasion="final", conditions=held)


PACK = kinds.PackFitted(adjuster="ahead-pack", occasion="final", shims=("0.30 mm", "0.10 mm"))
LASH = final("ahead-lash", "0.50 mm", "0.50 mm", "0.50 mm", "0.50 mm")


def lash(state: State) -> str:
    """How the ahead lash of the final build stands."""
    return final_reading(state, state.lookup.responses["ahead-lash"]).word


def test_a_pack_fitted_again_makes_the_reading_before_it_stale() -> None:
    again = PACK.model_copy(update={"shims": ("0.30 mm", "0.13 mm")})
    assert lash(timed([(1, PACK), (2, LASH)])) == "inside"
    state = timed([(1, PACK), (2, LASH), (3, again)])
    assert lash(state) == "missing"
    line = next(x for x in look(state).lines if x.response.key == "ahead-lash")
    assert not line.final_read and "fitted again" in line.final.why
    assert "fitted again" in repr(say_setup.say(look(state), Style({})))
    assert lash(timed([(1, PACK), (2, LASH), (3, again), (4, LASH)])) == "inside"
    gaps = " ".join(g.why for g in handover.view(state, SETTINGS).gaps)
    assert "fitted again" in gaps


def test_a_pack_of_another_shaft_leaves_the_reading_standing() -> None:
    other = kinds.PackFitted(adjuster="cover-pack", occasion="final", shims=("0.30 mm",))
    assert lash(timed([(1, PACK), (2, LASH), (3, other)])) == "inside"


def test_a_pack_typed_late_but_fitted_before_the_reading_leaves_it_standing() -> None:
    assert lash(timed([(5, LASH), (1, PACK)])) == "inside"


def test_a_new_gear_placed_after_the_reading_makes_it_stale() -> None:
    gear = kinds.PiecePlaced(
        piece="gear-2", position="lower.ahead.gear", occasion="final", origin="new"
    )
    assert lash(timed([(1, PACK), (2, LASH), (3, gear)])) == "missing"


@pytest.mark.parametrize(
    ("position", "origin", "word"),
    [
        ("lower.drive.upper-cone", "new", "new"),
        ("lower.drive.upper-cup", "new", "new"),  # a cup goes with its cone
        ("lower.drive.needle", "new", "used"),  # a needle carries no preload
        ("lower.drive.upper-cone", "donor", "used"),  # it has run
    ],
)
def test_bearings_are_new_by_any_kind_that_carries_preload(
    position: str, origin: str, word: str
) -> None:
    placed = kinds.PiecePlaced(piece="p-2", position=position, occasion="trial-1", origin=origin)  # type: ignore[arg-type]
    state = job(*FOUND, *SIGNS, placed)
    assert bearings_of(state, state.lookup.responses["drive-preload"]) == word


def test_a_ball_bearing_is_a_bearing_too() -> None:
    ball = kinds.PiecePlaced(piece="b-2", position="lower.astern.bearing", occasion="trial-1")
    state = job(*FOUND, *SIGNS, ball)
    assert bearings_of(state, state.lookup.responses["propeller-play"]) == "new"


def packs(seats: tuple[SeatLine, ...]) -> dict[str, float]:
    """What sits at each seat now [m]."""
    return {seat.adjuster.key: seat.now.total for seat in seats if seat.now}


def test_the_final_build_is_told_the_packs_of_the_last_trial() -> None:
    """Not those that came out: own list of what the trials ended with, seat by seat."""
    bodies, _ = rebuilt()
    ended = {b.adjuster: b.shims for b in bodies
             if isinstance(b, kinds.PackFitted) and b.occasion != "as-found"}  # fmt: skip
    assert ended != CAME_OUT
    for _ in KEYS:
        view = look(job(*bodies))
        assert packs(view.seats) == pytest.approx(
            {key: sum(float(s.split()[0]) for s in shims) * 1e-3 for key, shims in ended.items()}
        )
        card = say_setup.say(view, MM).card
        assert card is not None
        ask = next(one for one in asks(card.blocks) if one.kind == "pack-fitted")
        assert ask.fixed["occasion"] == "final"
        assert ask.fixed["shims"] == ended[str(ask.fixed["adjuster"])]
        bodies = [*bodies, kinds.PackFitted.model_validate(dict(ask.fixed))]
    assert look(job(*bodies)).stage == "final readings"


def outside() -> list[Body]:
    """A rebuild whose astern lash reads outside once it is built for good."""
    bodies, _ = rebuilt()
    trial = look(job(*bodies)).occasion
    final: list[Body] = []
    for body in bodies:
        if getattr(body, "occasion", "") == trial and isinstance(body, kinds.Reading):
            final.append(replace_occasion(body))
    seats = look(job(*bodies)).seats
    fitted: list[Body] = [
        kinds.PackFitted(adjuster=seat.adjuster.key, occasion="final", shims=seat.now.texts)
        for seat in seats if seat.now
    ]  # fmt: skip
    return [*bodies, *fitted, *final, replaced_lash()]


def replaced_lash(occasion: str = "final") -> kinds.Reading:
    """1.05 mm of astern lash, where the sheet allows 1.00."""
    held = conditions(job(), "astern-lash")
    return kinds.Reading(
        target="astern-lash", values=("1.05 mm",) * 4, occasion=occasion, conditions=held
    )


def test_a_final_reading_outside_opens_the_build_as_the_next_trial_with_its_packs() -> None:
    bodies = outside()
    view = look(job(*bodies))
    assert view.stage == "final outside"
    card = say_setup.say(view, MM).card
    assert card is not None
    ask = next(one for one in asks(card.blocks) if one.fixed["occasion"] == view.following)
    assert (ask.kind, ask.button) == ("reading", "Open the build: record")
    opened = look(job(*bodies, replaced_lash(view.following)))
    assert opened.occasion == view.following and not opened.stage.startswith("final")
    assert packs(opened.seats) == packs(view.seats)


def test_a_trial_after_the_final_build_begins_with_the_final_packs() -> None:
    own = kinds.PackFitted(adjuster="cover-pack", occasion="final", shims=("0.30 mm", "0.20 mm"))
    bodies = [*outside(), own]
    opened = look(job(*bodies, replaced_lash(look(job(*bodies)).following)))
    assert packs(opened.seats)["cover-pack"] == pytest.approx(0.5e-3)


def test_the_final_build_shows_its_own_readings() -> None:
    line = next(x for x in look(job(*outside())).lines if x.response.key == "astern-lash")
    assert {one.occasion for one in line.now} == {"final"}
    assert line.now[-1].mean == pytest.approx(1.05e-3)


def test_a_gears_pack_leaves_the_height_of_the_pinion_standing() -> None:
    """Height is read from the pinion to the propeller line; no gear lies between."""
    state = job()
    height, lash_ = (state.lookup.responses[key] for key in ("pinion-height", "ahead-lash"))
    assert set(adjusters_of(state, height)) >= {"height-pack"}
    assert "ahead-pack" not in adjusters_of(state, height)
    assert "ahead-pack" in adjusters_of(state, lash_)
    assert "lower.ahead.gear" not in moved_by(state, height)


def test_a_final_reading_outside_is_not_called_inside_by_the_trials_forecast() -> None:
    document = say_setup.say(look(job(*outside())), MM)
    readings = next(one for one in document.sections if one.key == "readings")
    table = next(one for one in readings.blocks if isinstance(one, Table))
    row = next(row for row in table.rows if row[0] == "astern lash")
    assert getattr(row[-1], "text", "") == "outside"
