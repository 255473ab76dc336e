"""Bearings from the sheet's figures: loads by statics done here, warm preload by springs done here."""

from __future__ import annotations

import math
import re

import pytest

from casewright.drive.schema import BearingData, Shaft
from casewright.errors import FormErrors
from casewright.job import kinds
from casewright.job.bearing_loads import Support, _pair, equivalent
from casewright.job.entry import Entry
from casewright.job.rules import check_entry
from casewright.phases import setup
from casewright.phases.setup import LoadLine
from casewright.voice import say_setup
from casewright.voice.plain import texts
from casewright.voice.quantities import Style
from tests.phases.cast import MOMENT, SETTINGS, job, sheet_text
from tests.phases.test_setup import look

INCH, LBF = 25.4e-3, 4.4482216152605


def lines(sheet: str = "whelk-4") -> dict[str, LoadLine]:
    """Loads by shaft."""
    return {line.shaft: line for line in look(job(sheet=sheet)).loads}


def test_straight_bevel_loads_follow_from_moments_taken_by_hand() -> None:
    """Own statics in two planes: tooth force at the mean point, bearings at 2.10 and 3.60 in.

    60 ft·lb on 16 teeth to 31, 5.167 in over the gear's outer ends, 0.80 in face, 20 degrees.
    """
    torque = 60 * 12 * INCH * LBF
    delta = math.atan(16 / 31)
    cone = 5.167 * INCH / 2 / math.sin(math.atan(31 / 16))
    radius = (cone - 0.4 * INCH) * math.sin(delta)
    tangential = torque / radius
    radial = tangential * math.tan(math.radians(20)) * math.cos(delta)
    axial = tangential * math.tan(math.radians(20)) * math.sin(delta)
    place, inner, outer = radius / math.tan(delta), 2.10 * INCH, 3.60 * INCH
    # moments about the inner bearing, in the plane of the mesh and square to it
    in_plane = (radial * (place - inner) + axial * radius) / (outer - inner)
    across = tangential * (place - inner) / (outer - inner)
    want = {
        "box.input.outer-cone": math.hypot(in_plane, across),
        "box.input.inner-cone": math.hypot(radial - in_plane, tangential - across),
    }
    found = {one.position: one for one in lines()["box.input-line"].bearings}
    for key, force in want.items():
        assert found[key].radial == pytest.approx(force, rel=1e-6)
    # back to back, pushed outward: the inner one holds the thrust (the sheet says the same)
    induced = {k: v / (2 * 0.4 / math.tan(math.radians(15))) for k, v in want.items()}
    held = max(induced["box.input.inner-cone"], induced["box.input.outer-cone"] + axial)
    assert found["box.input.inner-cone"].axial == pytest.approx(held, rel=1e-6)
    p = max(want["box.input.inner-cone"], 0.0)
    assert held <= 1.5 * math.tan(math.radians(15)) * p  # so that P = Fr
    life = (18000 * LBF / p) ** (10 / 3) * 1e6 / (2200 * 60)
    assert found["box.input.inner-cone"].hours == pytest.approx(life, rel=1e-6)
    static = max(p, 0.5 * p + 0.22 / math.tan(math.radians(15)) * held)
    assert found["box.input.inner-cone"].safety == pytest.approx(21400 * LBF / static, rel=1e-6)


TAPER = BearingData.model_validate({"kind": "taper", "contact_angle": "15°"})


@pytest.mark.parametrize("arrangement", ["face-to-face", "back-to-back"])
@pytest.mark.parametrize("push", [+1.0, -1.0])
def test_the_row_whose_rollers_are_squeezed_holds_the_thrust(arrangement: str, push: float) -> None:
    """Own drawing: cup shoulders stand still, cones move with the shaft; what gap closes, holds.

    Face to face the shoulders are outside (cup of the low end rests at -1, of the high end at +1);
    back to back they are inside, so the low end's cone meets its cup when it moves up.
    """
    outside = arrangement == "face-to-face"
    gap_low = push if outside else -push  # cone of the low end against its cup: below 0 is squeezed
    gap_high = -push if outside else push
    squeezed = 0 if gap_low < 0 else 1
    assert gap_low * gap_high < 0
    rows = (Support("low", "low", TAPER, -0.02), Support("high", "high", TAPER, 0.02))
    shaft = Shaft.model_validate({"key": "s", "name": "s", "unit": "u", "arrangement": arrangement})
    loads = _pair(shaft, rows, (100.0, 100.0), push * 5000.0, [0, 1])
    assert loads[squeezed] > 5000 > loads[1 - squeezed]


def test_needles_carry_their_radial_load_and_balls_their_thrust() -> None:
    """Ball: Shigley example 11-4 (from memory), 500 lbf radial, 400 lbf axial, C0 4450 lbf: 891."""
    needle = BearingData.model_validate({"kind": "needle"})
    ball = BearingData.model_validate({"kind": "ball", "static_rating": "4450 lbf"})
    assert equivalent(needle, 700.0, 0.0) == (700.0, 700.0)
    dynamic, static = equivalent(ball, 500 * LBF, 400 * LBF)
    assert dynamic / LBF == pytest.approx(891, abs=0.5)
    assert static / LBF == pytest.approx(max(500, 0.6 * 500 + 0.5 * 400))


def test_what_is_missing_for_the_loads_is_named() -> None:
    bare = re.sub(r'pressure_angle = "20°"\n', "", sheet_text("whelk-4"))
    bare = bare.replace('from_crossing = "2.10 in"\n', "")
    missing = lines(bare)["box.input-line"].missing
    assert "pressure angle of the box mesh" in missing
    assert any("input inner cone" in one for one in missing)
    plain = "\n".join(texts(say_setup.say(look(job()), Style({}))))
    assert "no load on the bearings is told" in plain


def test_a_duty_typed_at_the_bench_counts_and_nonsense_is_refused_by_its_field() -> None:
    text = re.sub(r"\[\[duties\]\]\n(?:.*\n)*?source.*\n", "", sheet_text("whelk-4"))
    assert look(job(sheet=text)).undutied == (("box.mesh", "box mesh"),)
    typed = kinds.SheetAdded(
        table="duties", item={"mesh": "box.mesh", "power": "25 hp", "speed": "2200 rpm"}
    )
    state = job(typed, sheet=text)
    found = {one.position: one for line in look(state).loads for one in line.bearings}
    # 25 hp at 2200 rpm is 59.7 ft·lb: as good as the sheet's 60
    sheet = {one.position: one for line in lines().values() for one in line.bearings}
    for key, one in found.items():
        assert one.radial == pytest.approx(sheet[key].radial * 59.683 / 60, rel=1e-4)
    wrong = typed.model_copy(update={"item": {"mesh": "box.mesh", "power": "25 mm"}})
    entry = Entry("e-1", wrong.KIND, wrong.model_dump(mode="json"), "AB", MOMENT)
    with pytest.raises(FormErrors) as caught:
        check_entry(state, entry)
    assert caught.value.mistakes[0].field == "item.power"


def test_preload_at_work_is_told_in_newtons_by_the_rollers_springs() -> None:
    """Own spring: c F^0.9 for both rows, play change by 13.0e-6/K and the sheet's case, solved here.

    Every bracket that is printed holds what the spring gives for cups that follow wholly or not.
    """
    text = sheet_text("whelk-4").replace(
        'span = "4.10 in"', 'span = "4.10 in"\ncold_preload_low = "300 N"'
    )
    line = next(x for x in look(job(sheet=text)).heat if x.shaft == "box.output-line")
    sine = math.sin(math.radians(15))
    one = 7.68e-8 / ((0.6 * 25.4) ** 0.8 * sine * (18 * sine) ** 0.9)
    spring = 2 * one
    setting = next(s for s in line.settings if s.cold_preload)
    assert setting.cold_preload == pytest.approx(300)
    for change, warm in zip(line.changes, reversed(setting.preload), strict=True):
        left = spring * 300**0.9 - change
        assert warm == pytest.approx((left / spring) ** (1 / 0.9) if left > 0 else 0.0, rel=1e-6)
    assert line.hold is not None
    for force, change in zip(line.hold, sorted(abs(c) for c in line.changes), strict=True):
        assert spring * force**0.9 == pytest.approx(change, rel=1e-9)
    said = repr(say_setup.say(setup.view(job(sheet=text), SETTINGS), Style({})))
    assert "preload 300 N" not in said and "Cold and at work" in said


def test_without_rollers_the_change_is_told_as_play_and_the_gap_is_named() -> None:
    bare = sheet_text("whelk-4").replace("rollers = 18\n", "")
    line = next(x for x in look(job(sheet=bare)).heat if x.shaft == "box.output-line")
    assert line.low is not None and line.hold is None
    assert "rollers" in line.spring_gap
