"""Chords brought to their height: against drawn flanks, printed tables and a Monte Carlo."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.job import kinds
from casewright.job.measured import OneReading
from casewright.job.tooth_shape import ToothGuess, tooth_guess, virtual_gear
from casewright.job.tooth_sizes import flank_of
from casewright.phases.inspect.life import life_of
from tests.phases.gauged_cast import GEAR, PINION, found, gauged, read

CALLIPER = kinds.InstrumentKnown(
    instrument="gear-tooth calliper 0.02", resolution="0.02 mm", uncertainty="0.04 mm"
)
# 16 to 40 teeth: cos δ of the gear is 16/√(16² + 40²).
VIRTUAL = 40 * math.hypot(16, 40) / 16
MODULE = 4.0


def stands(*bodies: kinds.Body, target: str = "chord", position: str = GEAR) -> OneReading:
    return found(gauged(CALLIPER, *bodies), target, position).stands


def chord_at(level: float, half: float, teeth: float = VIRTUAL, angle: float = 20.0) -> float:
    """Chord [mm] `level` under the pitch line's chord, from the unwound string's own points."""
    radius = MODULE * teeth / 2
    base = radius * math.cos(math.radians(angle))
    off = np.linspace(0, 1.5, 1_000_001)
    far, turned = base * np.hypot(1, off), off - np.arctan(off)
    there = float(np.interp(radius, far, turned))
    at = half + there - turned
    along, across = far * np.cos(at), far * np.sin(at)
    return 2 * float(np.interp(radius * math.cos(half) - level, along, across))


@settings(max_examples=30, deadline=None)
@given(st.integers(500, 700))
def test_at_the_printed_height_on_a_sound_tip_a_chord_is_a_plain_thickness(hundredths: int) -> None:
    value = f"{hundredths / 100:.2f}"
    one = stands(read("chord", value, at_height="4.05 mm"))
    assert one.sized is not None and one.sized.budget is not None and one.typed is not None
    assert one.sized.budget.value == one.values[0]
    assert one.sized.brought is not None and one.sized.brought.change == 0
    # Only the height's own doubt is more than that of a plain thickness.
    assert {c.name for c in one.sized.budget.components} == {
        "scatter of the mean", "resolution", "calibration", "height of the calliper",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("stood", "low"), [("4.25", ""), ("3.80", ""), ("4.05", "0.30"), ("", "0.15"), ("4.00", "0.20")]
)
def test_a_chord_read_elsewhere_is_that_of_a_drawn_tooth_at_its_height(
    stood: str, low: str
) -> None:
    """The tip is `low`, so the blades stand that much deeper than the slide says."""
    half = 6.0 / (MODULE * VIRTUAL)  # a little worn: 6.00 mm of arc instead of 6.28
    deeper = (float(stood) if stood else 4.05) - 4.05 + (float(low) if low else 0.0)
    value = f"{chord_at(deeper, half):.6f}"
    one = stands(read("chord", value, at_height=stood, tip_low=low))
    assert one.sized is not None and one.sized.budget is not None
    truly = MODULE * VIRTUAL * math.sin(half)
    assert one.sized.budget.value * 1e3 == pytest.approx(truly, abs=1e-5)
    assert (float(value) > truly) == (deeper > 0)


def test_the_budget_is_that_of_a_monte_carlo() -> None:
    """What a calliper set a little off, on a tip a little lower than said, would truly have met.

    The drawn flank of `chord_at` is turned round: for each draw the half angle is found for which
    the drawn tooth is as thick as read, by bisection; no sensitivities are used.
    """
    one = stands(read("chord", "6.100", at_height="4.20 mm", tip_low="0.10 mm"))
    assert one.sized is not None and one.sized.budget is not None
    random = np.random.default_rng(1)
    count = 4000
    slide = random.uniform(-0.01, 0.01, count) + random.normal(0, 0.02, count)
    tip = random.uniform(-0.01, 0.01, count)
    angle = 20 + random.uniform(-1, 1, count)
    jaw = (
        random.uniform(-0.01, 0.01, count)
        + random.normal(0, 0.02, count)
        + random.normal(0, 0.02, count)
    )
    sizes = [
        _turned_round(6.1 + j, 0.25 + s + t, a)
        for j, s, t, a in zip(jaw, slide, tip, angle, strict=True)
    ]
    budget = one.sized.budget
    assert budget.value * 1e3 == pytest.approx(np.mean(sizes), abs=2e-3)
    assert budget.standard_uncertainty * 1e3 == pytest.approx(np.std(sizes), rel=0.04)


def _turned_round(read_: float, deeper: float, angle: float) -> float:
    """Chord at the pitch line of the tooth that is as thick as read so much deeper."""
    radius, alpha = MODULE * VIRTUAL / 2, math.radians(angle)

    def excess(half: float) -> float:
        level = radius * math.cos(half) - deeper
        # The point of the flank at that level, by its distance from the axis.
        far = radius
        for _ in range(30):
            off = math.sqrt((far / (radius * math.cos(alpha))) ** 2 - 1)
            there = math.tan(alpha) - alpha
            at = half + there - (off - math.atan(off))
            far = level / math.cos(at)
        return 2 * far * math.sin(at) - read_

    low, high = 0.5 * read_ / (2 * radius), 1.5 * read_ / (2 * radius)
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if excess(middle) < 0 else (low, middle)
    return 2 * radius * math.sin(low)


def test_what_nobody_printed_is_taken_with_its_doubt_and_said() -> None:
    """Angles of 14.5° to 25° are even: (25 − 14.5)/√12; a rack to ten teeth: 0.1/√12 of 1/z."""
    state = gauged(
        CALLIPER, read("loose-chord", "6.100", at_height="4.25 mm"), read("chord", "6.1")
    )
    flank = flank_of(state.lookup, "lower.loose")
    assert 2 * flank.angle_doubt == pytest.approx(math.radians(25 - 14.5))
    assert (flank.share - flank.share_doubt, flank.share + flank.share_doubt) == (0, 0.1)
    one = found(state, "loose-chord", "lower.loose").stands
    assert one.sized is not None and one.sized.budget is not None
    parts = {c.name: c.contribution for c in one.sized.budget.components}
    # d(2 tan φ Δ)/dφ = 2 Δ/cos² φ at φ = α − q near 15.5°; curvature changes it by a few per cent.
    lean = 2 * 0.2e-3 / math.cos(math.radians(15.5)) ** 2
    assert parts["pressure angle"] == pytest.approx(lean * math.radians(10.5) / 12**0.5, rel=0.1)
    assert parts["number of teeth"] == pytest.approx(lean * math.pi / 2 * 0.1 / 12**0.5, rel=0.25)
    assert any("pressure angle of 20°" in note for note in one.sized.notes)
    assert any("20 teeth" in note for note in one.sized.notes)
    known = found(state, "chord").stands.sized
    assert known is not None
    assert not any("Taken" in note for note in known.notes)


def test_a_spiral_that_is_printed_makes_the_virtual_gear_larger() -> None:
    state = gauged()
    gear = virtual_gear(state.lookup, GEAR)
    assert gear is not None
    assert gear.teeth == pytest.approx(VIRTUAL)
    assert gear.module == pytest.approx(4e-3)
    assert virtual_gear(state.lookup, "lower.loose") is None
    pinion = virtual_gear(state.lookup, PINION)
    assert pinion is not None
    assert pinion.teeth == pytest.approx(16 * math.hypot(16, 40) / 40)


def guess_of(teeth: tuple[int, int], module: str, position: str, extra: str = "") -> ToothGuess:
    from tests.phases.gauged_cast import SHEET, job

    text = (
        SHEET.replace("pinion_teeth = 16\ngear_teeth = 40", "pinion_teeth = {}\ngear_teeth = {}".format(*teeth))
        .replace('at_height = "4.05 mm"\n', "")
        .replace('"160 mm"', f'"{module}"')
        .replace('spiral_angle = "0 °"', extra or 'spiral_angle = "0 °"')
    )  # fmt: skip
    lookup = job(sheet=text, rooms=("inspect",)).lookup
    feature = next(f for f in lookup.sheet.features if f.position == position and f.kind == "tooth")
    made = tooth_guess(lookup, feature)
    assert made is not None
    return made


def test_a_new_tooth_by_standard_proportions_is_that_of_the_handbooks_table() -> None:
    """Module 1 rows 20 and 15 of the table (remembered): 1.5692, 1.0308 and 1.5679, 1.0411.

    Pairs of 3, 4, 5 have whole virtual numbers: 12 by 9 is 20 on its gear, 12 by 16 is 15 on its
    pinion.
    """
    gear = guess_of((9, 12), "12 mm", GEAR).equal
    assert (gear.thickness * 1e3, gear.height * 1e3) == pytest.approx((1.5692, 1.0308), abs=1e-4)
    pinion = guess_of((12, 16), "16 mm", PINION).equal
    assert (pinion.thickness * 1e3, pinion.height * 1e3) == pytest.approx(
        (1.5679, 1.0411), abs=1e-4
    )


def test_long_and_short_addenda_are_those_of_the_published_pair() -> None:
    """16 to 40 teeth of module 4, a common published example (remembered, recomputed): addenda
    5.5456 and 2.4544; heights 5.7502 and 2.4692; chords 7.4946 and 5.0536, made with a balance of
    K = 0.0259 modules between the members that this estimate leaves out. The example takes the
    chord from the arc on the real diameter, 0.002 shorter on the pinion than on the virtual one."""
    balance = 0.0259 * 4
    pinion = guess_of((16, 40), "160 mm", PINION).unequal
    gear = guess_of((16, 40), "160 mm", GEAR).unequal
    assert pinion is not None and gear is not None
    assert pinion.thickness * 1e3 + balance == pytest.approx(7.4946, abs=0.004)
    assert gear.thickness * 1e3 - balance == pytest.approx(5.0536, abs=0.002)
    assert pinion.height * 1e3 == pytest.approx(5.7502, abs=0.008)
    assert gear.height * 1e3 == pytest.approx(2.4692, abs=0.002)


@pytest.mark.parametrize("spiral", ["0 °", "35 °"])
def test_the_teeth_of_a_pair_fill_the_pitch_between_them(spiral: str) -> None:
    """Without lash tooth and mate's tooth are one pitch together: π m, π m cos β across it."""
    cosine = math.cos(math.radians(float(spiral.split()[0])))
    extra, arcs = f'spiral_angle = "{spiral}"', 0.0
    for position, angle in ((PINION, math.atan2(16, 40)), (GEAR, math.atan2(40, 16))):
        made = guess_of((16, 40), "160 mm", position, extra).unequal
        assert made is not None
        teeth = {PINION: 16, GEAR: 40}[position] / (math.cos(angle) * cosine**3)
        arcs += 2 * made.half_angle * 4e-3 * cosine * teeth / 2
    assert arcs == pytest.approx(math.pi * 4e-3 * cosine)


def test_equal_members_have_equal_addenda_and_a_printed_height_needs_no_guess() -> None:
    assert guess_of((20, 20), "80 mm", GEAR).unequal is None
    state = gauged()
    assert tooth_guess(state.lookup, state.lookup.features["chord"]) is None
    assert tooth_guess(state.lookup, state.lookup.features["thread"]) is None


def test_the_wear_between_two_chords_is_that_of_the_sizes_not_of_the_readings() -> None:
    """The second calliper stood 0.20 deeper: it read more, although the tooth is thinner."""
    half = [size / (MODULE * VIRTUAL) for size in (6.16, 6.06)]
    first = read("chord", f"{chord_at(0.0, half[0]):.4f}", at_height="4.05 mm", hours="500 h")
    last = read("chord", f"{chord_at(0.2, half[1]):.4f}", at_height="4.25 mm", hours="1000 h")
    assert float(last.values[0]) > float(first.values[0])
    state = gauged(kinds.Complaint(words="whines", hours="1000 h"), CALLIPER, first, last)
    life = life_of(state, found(state, "chord"))
    assert life is not None
    assert (life.earlier - life.later) * 1e3 == pytest.approx(0.100, abs=0.001)
    assert life.found.even_chance is not None


def test_the_limit_without_a_height_is_held_against_the_chord_where_it_was_set() -> None:
    one = stands(read("no-height", "7.30", "7.31", "7.29", at_height="5.6 mm", tip_low="0.10"),
                 target="no-height", position=PINION)  # fmt: skip
    assert one.sized is not None and one.sized.budget is not None and one.sized.brought is not None
    assert one.sized.budget.value < 7.29e-3  # the low tip made it read too thick
    assert any("5.6 mm" in note for note in one.sized.notes)
    assert one.sized.brought.how == "brought from a tip 0.10 mm low to a new tip"
