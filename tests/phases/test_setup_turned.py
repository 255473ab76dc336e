"""Nut and ring with their thread's pitch: turns, degrees and millimetres told as one."""

from __future__ import annotations

import pytest

from casewright.job import kinds
from casewright.job.state import State
from casewright.phases.setup import TurnedLine
from casewright.voice.quantities import Style
from casewright.voice.say_setup_witness import how_far
from tests.phases.cast import job, sheet_text
from tests.phases.test_setup import conditions, look

INCH = 25.4e-3
PITCH = 0.0625 * INCH


def read(key: str, value: str, trial: int, setting: str = "") -> kinds.Reading:
    """A counted reading with its setting."""
    held = conditions(job(sheet="whelk-4"), key)
    return kinds.Reading(
        target=key, values=(value,), occasion=f"trial-{trial}", conditions=held, setting=setting
    )


def line_of(state: State, adjuster: str, response: str) -> TurnedLine:
    """The line of one adjuster and response."""
    return next(
        x for x in look(state).turned
        if (x.adjuster.key, x.response.key) == (adjuster, response)
    )  # fmt: skip


@pytest.mark.parametrize(("play", "way"), [(0.006, "in"), (0.0001, "out")])
def test_one_reading_of_play_and_the_pitch_tell_how_far_to_turn(play: float, way: str) -> None:
    """Own screw: x turns in bring the cups x pitches together, and the play falls by as much."""
    state = job(read("output-play", f"{play} in", 1), sheet="whelk-4")
    line = line_of(state, "output-nut", "output-play")
    assert line.way == way and line.move is not None
    turns = line.move.move / PITCH
    assert play * INCH - turns * PITCH == pytest.approx(0.002 * INCH)
    said = how_far(line, Style({}))
    assert f"{abs(play - 0.002) / 0.0625:.2f} turns" in said and f"further {way}" in said
    assert "sheet's rate and the pitch" in said


def test_turns_degrees_and_millimetres_are_one_setting_with_a_pitch() -> None:
    """A quarter turn, 90 degrees and a quarter pitch: three names of one place."""
    rates = []
    for setting in ("0.25 turns", "90°", f"{0.25 * PITCH * 1e3:.6f} mm"):
        state = job(
            read("output-play", "0.0150 in", 1, "0 turns"),
            read("output-play", "0.0060 in", 2, setting),
            sheet="whelk-4",
        )
        line = line_of(state, "output-nut", "output-play")
        assert line.source == "trials" and line.rate is not None
        rates.append(line.rate.rate)
    assert rates == pytest.approx([0.009 * INCH / (0.25 * PITCH)] * 3, rel=1e-6)


def test_without_a_pitch_two_trials_are_needed_as_ever() -> None:
    bare = sheet_text("whelk-4").replace('pitch = "0.0625 in"\n', "")
    state = job(read("output-play", "0.006 in", 1, "0 turns"), sheet=bare)
    line = line_of(state, "output-nut", "output-play")
    assert line.rate is None and line.move is None


def test_a_torque_is_never_computed_from_a_pitch() -> None:
    text = sheet_text("whelk-4").replace(
        'sits = "between the two cones of the input shaft;',
        'pitch = "0.05 in"\nsits = "between the two cones of the input shaft;',
    )
    one = job(read("input-preload", "3 in·lb", 1, "0 turns"), sheet=text)
    assert line_of(one, "crush-sleeve", "input-preload").move is None
    two = job(
        read("input-preload", "3 in·lb", 1, "0 turns"),
        read("input-preload", "5 in·lb", 2, "0.02 turns"),
        sheet=text,
    )  # fmt: skip
    learned = line_of(two, "crush-sleeve", "input-preload")
    assert learned.source == "trials" and learned.rate is not None
    assert "for 0.01 mm, from 2 trials" in how_far(learned, Style({}))


def test_notches_are_whole_and_what_they_miss_is_said() -> None:
    """0.010 in too much lash at 0.9 in per in: 0.0111 in of travel, 4.27 of 24 notches."""
    state = job(read("box-lash", "0.018 in", 1), sheet="whelk-4")
    said = how_far(line_of(state, "gear-ring", "box-lash"), Style({}))
    assert "4 notches" in said and "short" in said
