"""Figures typed once for a bearing tell the same life at set-up and at inspection."""

from __future__ import annotations

import pytest

from casewright.job import kinds
from casewright.job.bearing_figures import LIFE, METHOD, data_at, rolls_on
from casewright.job.bearing_loads import load_lines
from casewright.job.ratings import ratings
from casewright.job.state import State
from casewright.phases.inspect.used import meshes_of, used_bearing, used_gear
from casewright.phases.setup.bearings import life_lines
from casewright.voice.quantities import Style
from casewright.voice.say_ratings import ask_rating
from tests.phases.cast import job, sheet_text

FIGURES = {"capacity": "54 kN", "load": "6 kN", "speed": "1500 rpm", "run": "1200 h"}


def typed(sheet: str, position: str) -> State:
    body = kinds.Calculated(name=LIFE + position, inputs=FIGURES, outputs={}, method=METHOD)
    return job(body, sheet=sheet)


@pytest.mark.parametrize(
    ("kind", "exponent"), [("ball", 3.0), ("taper", 10 / 3)], ids=["balls", "rollers"]
)
def test_both_rooms_go_by_what_the_sheet_says_it_rolls_on(kind: str, exponent: float) -> None:
    # ISO 281: L10 in millions of turns is (C/P)^3 for balls, (C/P)^(10/3) for rollers.
    text = sheet_text("winkle-3")
    assert text.count('kind = "ball"') == 1
    state = typed(text.replace('kind = "ball"', f'kind = "{kind}"'), "lower.astern.bearing")
    assert data_at(state.lookup, "lower.astern.bearing") is not None
    assert rolls_on(state, "lower.astern.bearing") == ("ball" if kind == "ball" else "roller")
    hours = 1e6 * 9**exponent / 1500 / 60
    (line,) = life_lines(state)
    used = used_bearing(state, "lower.astern.bearing")
    assert used is not None and used.life is not None
    assert line.hours == pytest.approx(hours)
    assert used.life / 3600 == pytest.approx(hours)


INNER = "box.input.inner-cone"


def test_what_the_sheet_holds_need_not_be_typed_for_a_used_bearing() -> None:
    state = job(kinds.Complaint(words="noisy", hours="900 h"), sheet=sheet_text("whelk-4"))
    (carried,) = [c for line in load_lines(state) for c in line.bearings if c.position == INNER]
    used = used_bearing(state, INNER)
    assert used is not None and used.life is not None and used.nine_in_ten is not None
    # ISO 281 with the sheet's C (18000 lbf), the load that statics gives and 2200 rpm.
    turns = 1e6 * (18000 * 4.4482216152605 / carried.equivalent) ** (10 / 3)
    assert used.life / 3600 == pytest.approx(turns / 2200 / 60, rel=1e-6)
    assert used.run == 900 * 3600
    assert any("C by the sheet" in one for one in used.given)
    hints = {f.name: (f.needed, f.hint) for f in ask_rating("x", INNER, ratings(state, INNER, {}), Style({})).fields}  # fmt: skip
    assert hints["inputs.capacity"][0] is False and "by the sheet" in hints["inputs.capacity"][1]
    assert hints["inputs.run"][1] == "empty: the owner's hours"


def test_a_typed_load_stands_before_the_sheets_duty_and_takes_its_own_static_load() -> None:
    body = kinds.Calculated(name=LIFE + INNER, inputs={"load": "20 kN"}, outputs={}, method=METHOD)
    state = job(body, sheet=sheet_text("whelk-4"))
    (line,) = life_lines(state)
    capacity, static = 18000 * 4.4482216152605, 21400 * 4.4482216152605
    assert line.revolutions == pytest.approx(1e6 * (capacity / 20e3) ** (10 / 3))
    assert line.safety == pytest.approx(static / 20e3)
    assert not any("P " in one for one in line.given)


def test_a_used_pair_goes_by_the_sheets_duty_where_nobody_typed_one() -> None:
    state = job(kinds.Complaint(words="noisy", hours="900 h"), sheet=sheet_text("whelk-4"))
    mesh = state.lookup.sheet.meshes[0]
    (pair,) = meshes_of(state, mesh.pinion)
    ft_lb = 12 * 25.4e-3 * 4.4482216152605
    assert pair.torque == pytest.approx(60 * ft_lb)
    assert used_gear(state, pair) is None  # nobody asked
    asked = kinds.Calculated(name=f"gear-rating:{mesh.key}", inputs={}, outputs={}, method="x")
    asked_state = job(kinds.Complaint(words="noisy", hours="900 h"), asked, sheet=sheet_text("whelk-4"))  # fmt: skip
    by_duty = used_gear(asked_state, pair)
    same = {"torque": "60 ft·lb", "speed": "2200 rpm"}
    body = kinds.Calculated(name=f"gear-rating:{mesh.key}", inputs=same, outputs={}, method="x")
    typed_state = job(kinds.Complaint(words="noisy", hours="900 h"), body, sheet=sheet_text("whelk-4"))  # fmt: skip
    by_hand = used_gear(typed_state, meshes_of(typed_state, mesh.pinion)[0])
    assert by_duty is not None and by_hand is not None and by_duty.bending is not None
    assert by_duty.bending == pytest.approx(by_hand.bending)
    assert by_duty.wear == pytest.approx(by_hand.wear)
    bare = job(kinds.Complaint(words="noisy"))
    assert used_gear(bare, meshes_of(bare, bare.lookup.sheet.meshes[0].pinion)[0]) is None
