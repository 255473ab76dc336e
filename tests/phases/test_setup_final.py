"""The final build: what was read before a pack went in again is asked for again; bearings anew."""

from __future__ import annotations

import pytest

from casewright.job import kinds
from casewright.job.build import bearings_of, final_reading
from casewright.job.entry import Accepted, Entry, accept
from casewright.job.fold import fold
from casewright.job.kinds import Body
from casewright.job.state import State
from casewright.phases import handover
from casewright.voice import say_setup
from casewright.voice.quantities import Style
from tests.phases.cast import SETTINGS, job, opening
from tests.phases.test_setup import FOUND, SIGNS, conditions, look


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
