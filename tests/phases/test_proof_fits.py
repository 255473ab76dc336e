"""Bench sums at assembly: interference, press or heat, ceilings, times, what grips at work."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from casewright.job import kinds
from casewright.job.state import State
from casewright.phases.proof import FitSum, fit_sums
from casewright.voice.document import Caution
from casewright.voice.quantities import Style
from casewright.voice.say_proof_fits import fits_section
from tests.phases.cast import SETTINGS, job
from tests.phases.cast import sheet_text as text_of
from tests.phases.proof_cast import opened

ALPHA_AL, ALPHA_RING = 21.5e-6, 12.5e-6


def fit_of(state: State, key: str = "ahead-cup-out") -> FitSum:
    """One press fit of a job; the ahead cup is 80 x 20 mm in a hub of 108 mm."""
    return next(one for one in fit_sums(state, SETTINGS, frozenset()) if one.joint == key)


def words(state: State, joint: str = "ahead-cup-out") -> str:
    from casewright.voice.document import Document
    from casewright.voice.plain import texts

    section = fits_section((fit_of(state, joint),), 10.0, Style())
    return "\n".join(texts(Document("proof", "", None, (section,))))


def by_hand_pressure(interference: float) -> float:
    """Lamé, plane stress (Shigley 8th ed. eq. 3-56): aluminium 108/80, ring 80/69."""
    d, outside, inside = 0.080, 0.108, 0.069
    hub = ((outside**2 + d**2) / (outside**2 - d**2) + 0.33) / 71e9
    ring = ((d**2 + inside**2) / (d**2 - inside**2) - 0.30) / 208e9
    return interference / (d * (hub + ring))


def test_without_readings_the_sheets_window_is_taken_and_that_is_said() -> None:
    one = fit_of(job())
    assert one.span is not None
    assert (one.span.least, one.span.most) == pytest.approx((20e-6, 50e-6))
    assert "the sheet's window" in words(job())
    assert any("whole window" in gap for gap in one.gaps)


def test_a_bore_that_was_read_stands_against_the_rings_tolerance_class() -> None:
    # ISO 492 Normal class, outside 50 to 80 mm: 0 to -13 um (read in the standard's table).
    state = job(kinds.Reading(target="ahead-cup-seat", values=("79.960 mm",)))
    span = fit_of(state).span
    assert span is not None
    assert span.least == pytest.approx(79.987e-3 - 79.960e-3, abs=10e-6)
    assert span.most == pytest.approx(80.000e-3 - 79.960e-3, abs=10e-6)


def test_a_bore_read_warm_is_brought_to_20_degrees() -> None:
    # Aluminium at 30 °C is wide by up to 79.96 mm x 21.5e-6 x 10 K = 17 um.
    warm = kinds.Reading(target="ahead-cup-seat", values=("79.960 mm",), temperature="30 °C")
    bore = fit_of(job(warm)).bore
    assert bore is not None
    assert 79.940e-3 < bore.diameter < 79.956e-3


def test_a_reading_of_the_old_housing_is_not_taken_for_the_new_one() -> None:
    read = kinds.Reading(target="ahead-cup-seat", values=("79.960 mm",))
    swap = kinds.PiecePlaced(piece="bare-2", position="lower.housing", occasion="final")
    assert fit_of(job(read)).bore is not None
    assert fit_of(job(read, swap)).bore is None
    again = kinds.Reading(target="ahead-cup-seat", values=("79.955 mm",), occasion="final")
    bore = fit_of(job(read, swap, again)).bore
    assert bore is not None
    assert bore.diameter == pytest.approx(79.955e-3)


def test_the_press_force_is_that_of_the_thick_cylinder_formula() -> None:
    one = fit_of(job())
    assert one.press is not None
    # Friction steel on aluminium 0.05 to 0.07 (DIN 7190, memory); F = pi d L p mu.
    most = math.pi * 0.080 * 0.020 * by_hand_pressure(50e-6) * 0.07
    assert one.press.force.most == pytest.approx(most, rel=0.03)
    least = math.pi * 0.080 * 0.020 * by_hand_pressure(20e-6) * 0.05
    assert one.press.force.least == pytest.approx(least, rel=0.03)


@pytest.mark.parametrize(("tonnes", "verdict"), [(10.0, "enough"), (0.05, "too small")])
def test_the_shops_press_is_held_against_the_most_force(tonnes: float, verdict: str) -> None:
    settings = replace(SETTINGS, press_tonnes=tonnes)
    sums = fit_sums(job(), settings, frozenset())
    one = next(one for one in sums if one.joint == "ahead-cup-out")
    assert one.capacity is not None
    assert one.capacity.verdict == verdict


def test_the_heat_needed_gives_a_thousandth_of_the_diameter_and_the_sheets_ceiling_holds() -> None:
    # Everything out that seals: only the sheet's 120 °C (and paint, T6, rings above it) are left.
    keys = ("shift-shaft-out", "carrier-seals-out", "cover-seals-out", "carrier-out", "cover-off",
            "drain-oil", "needle-out", "drive-shaft-out", "lower-cup-out", "ahead-gear-out")  # fmt: skip
    one = fit_of(job(*opened(*keys)))
    assert one.heat is not None
    need = 20 + (50e-6 + 80e-6) / (ALPHA_AL * 0.080)
    assert one.heat.window.low - 273.15 == pytest.approx(need, abs=0.01)
    assert one.heat.window.high - 273.15 == pytest.approx(120.0)
    assert one.way == "heat"


def test_a_seal_left_in_place_lowers_the_ceiling_and_is_named() -> None:
    one = fit_of(job())
    assert one.heat is not None
    assert one.heat.window.high - 273.15 == pytest.approx(100.0)  # NBR in oil
    assert "left in place" in one.heat.window.limiting
    assert "Still in this unit" in words(job())


def test_no_window_means_chill_or_press_and_never_a_higher_temperature() -> None:
    cold = text_of().replace('most = "120 °C"', 'most = "60 °C"')
    one = fit_of(job(sheet=cold))
    assert one.heat is not None
    assert not one.heat.window.is_open
    assert one.way == "chill"
    assert one.times == ()
    assert "no: needs 96 °C, at most 60 °C" in words(job(sheet=cold))
    colder = text_of().replace('most = "120 °C"', 'most = "30 °C"')
    assert fit_of(job(sheet=colder)).way == "press"


def test_the_ovens_time_is_never_under_what_its_watts_can_give() -> None:
    weak = replace(SETTINGS, oven_watts=100.0)
    one = next(o for o in fit_sums(job(), weak, frozenset()) if o.joint == "ahead-cup-out")
    oven = one.times[0]
    assert one.heat is not None
    # 9.5 kg of aluminium, about 900 J/(kg K), to the needed temperature with 100 W.
    least = 9.5 * 900 * (one.heat.window.low - 293.15) / 100
    assert oven.time.quickest == pytest.approx(least, rel=0.08)
    assert oven.set_to == pytest.approx(one.heat.window.high)


def test_a_loose_ring_at_work_is_said_to_spin() -> None:
    # 10 um at 80 mm: gone after 10e-6/(0.080 (21.5 - 12.5)e-6) = 13.9 K of warmth.
    assert 10e-6 / (0.080 * (ALPHA_AL - ALPHA_RING)) < 40
    loose = text_of().replace('"0.020 mm"', '"0.005 mm"').replace('"0.050 mm"', '"0.015 mm"')
    one = fit_of(job(sheet=loose))
    assert one.grip_likely is not None
    assert one.grip_likely.would_spin
    assert "would spin" in words(job(sheet=loose))


def test_a_shaft_larger_than_its_hubs_outside_gets_a_clear_answer() -> None:
    odd = text_of().replace('hub_outside = "108 mm"', 'hub_outside = "75 mm"')
    one = fit_of(job(sheet=odd))
    assert "hub" in one.refusal
    assert one.press is None
    assert one.heat is None
    assert "hub" in words(job(sheet=odd))


def test_a_clearance_fit_slides_and_asks_for_no_heat() -> None:
    # ISO 286-2: 98 H7 0/+35, g6 -12/-34 um.
    one = fit_of(job(), "carrier-out")
    assert one.way == "slides"
    assert one.span is not None
    assert one.span.most == pytest.approx(-12e-6)
    assert one.span.least == pytest.approx(-69e-6)


def test_what_is_missing_in_the_sheet_is_named_and_the_rest_goes_on() -> None:
    cut = text_of().replace('length = "20 mm"\n', "").replace('hub_outside = "108 mm"\n', "")
    one = fit_of(job(sheet=cut))
    assert one.press is None
    assert one.heat is not None
    assert any("length is not in the sheet" in gap for gap in one.gaps)


def test_hot_work_shows_its_dangers_and_a_hard_limit() -> None:
    section = fits_section((replace(fit_of(job()), opened=True),), 10.0, Style())
    fold = section.blocks[2]
    cautions = [b for b in fold.blocks if isinstance(b, Caution)]  # type: ignore[union-attr]
    assert any(caution.title == "Hard limit" for caution in cautions)
    assert any("never press or hammer" in caution.text for caution in cautions)
