"""Bench sums: the same figures as published, whatever the units typed; and clear answers to bad input."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import CasewrightError, FormErrors, InputError
from casewright.sums import SUMS, Worked, work_out
from casewright.voice.quantities import Style
from casewright.voice.say_sums import answer_document, as_data, fields, said, snapshot

# One plain question for each sum; every test below starts from these.
EXAMPLES: dict[str, dict[str, str]] = {
    "limits": {"size": "30 mm", "hole": "H7", "shaft": "k6"},
    "press-fit": {"shaft": "40.051 mm", "bore": "40.018 mm", "length": "20 mm",
                  "hub_outside": "80 mm"},
    "heat-bore": {"diameter": "62 mm", "interference": "39 µm", "mass": "4 kg"},
    "chill-shaft": {"diameter": "62 mm", "interference": "39 µm"},
    "take-out": {"diameter": "62 mm", "interference": "39 µm"},
    "working-time": {"clearance": "60 µm", "diameter": "62 mm", "mass": "4 kg", "start": "120 °C"},
    "preload": {"designation": "M10", "torque": "46 N·m", "bolt_class": "8.8"},
    "strip": {"designation": "M8", "engagement": "16 mm", "bolt_class": "8.8", "insert": "12 mm"},
    "adapter": {"torque": "100 N·m", "wrench": "400 mm", "offset": "50 mm", "angle": "45°"},
    "lever": {"torque": "200 N·m", "bar": "500 mm", "circle": "90 mm"},
    "leak": {"relative": "gauge", "volume": "1.5 L", "before": "70 kPa", "before_at": "22 °C",
             "after": "66.5 kPa", "after_at": "16 °C", "minutes": "10 min", "drop": "7 kPa",
             "hold": "10 min", "step": "0.1 kPa"},
    "bleed": {"bleed": "100 ml/min", "minutes": "1 min", "before": "70 kPa", "after": "63 kPa"},
    "bottle": {"bottle": "0.5 L", "before": "80 kPa", "after": "60 kPa"},
    "potential": {"reading": "-950 mV"},
    "bond": {"resistance": "0.05 Ω"},
    "anode-life": {"mass": "0.4 kg", "alloy": "aluminium", "current": "50"},
    "viscosity": {"at_40": "150", "second": "14.7", "wanted": "20 °C"},
    "wear-metal": {"samples": "100 10; 200 20; 300 31; 400 40"},
    "trapped-air": {"filled": "1.4 L", "capacity": "1.6 L"},
    "unit": {"value": "12 thou"},
}  # fmt: skip


def worked(key: str, **more: str) -> Worked:
    return work_out(key, EXAMPLES[key] | more)


def lines(key: str, **more: str) -> dict[str, tuple[float | str, float | None]]:
    return {one.name: (one.value, one.high) for one in worked(key, **more).answer.lines}


def value(key: str, name: str, **more: str) -> float:
    found = lines(key, **more)[name][0]
    assert isinstance(found, float)
    return found


def test_every_sum_has_its_example() -> None:
    assert set(EXAMPLES) == set(SUMS)


@pytest.mark.parametrize("key", sorted(EXAMPLES))
def test_every_sum_answers_with_working_source_and_caution(key: str) -> None:
    one = worked(key)
    assert one.answer.lines
    assert any(line.lead for line in one.answer.lines)
    assert SUMS[key].caution
    if key != "unit":
        assert one.answer.cautions
        for _, working in one.answer.workings:
            assert working.formula
            assert working.source
        assert one.answer.workings
    document = answer_document(one, Style())
    assert document.card is not None
    body = snapshot(one, Style())
    assert body["outputs"]
    assert as_data(one)["answers"]


@pytest.mark.parametrize("key", sorted(EXAMPLES))
def test_every_mistake_is_named_by_its_field_in_one_pass(key: str) -> None:
    needed = [ask for ask in SUMS[key].asks if ask.needed and not ask.value]
    with pytest.raises(FormErrors) as caught:
        work_out(key, {"nonsense": "1"} if not needed else {})
    if needed:
        assert set(caught.value.by_field()) == {ask.name for ask in needed}


@pytest.mark.parametrize("key", sorted(EXAMPLES))
def test_a_field_that_a_sum_doesnt_ask_is_refused_by_name(key: str) -> None:
    with pytest.raises(FormErrors, match="colour"):
        worked(key, colour="blue")


@pytest.mark.parametrize("key", sorted(EXAMPLES))
def test_every_field_is_drawn_and_every_choice_offered(key: str) -> None:
    for field, ask in zip(fields(SUMS[key], Style()), SUMS[key].asks, strict=True):
        assert field.label
        if ask.kind == "quantity":
            assert (field.unit, field.unit) in field.choices


# Published figures. ISO 286-2: 30 H7 is 30.000/30.021, k6 is +2/+15 µm.
def test_limits_are_those_of_the_standard() -> None:
    found = lines("limits")
    assert found["Hole H7"] == pytest.approx((0.030, 0.030021))
    assert found["Shaft k6"] == pytest.approx((0.030002, 0.030015))
    assert found["From an interference of"][0] == pytest.approx(15e-6)
    assert found["to a clearance of"][0] == pytest.approx(19e-6)


# A bearing maker's housing table: 72 mm ring in P7, interference 8 to 51 µm.
def test_a_bearing_in_a_housing_is_that_of_the_makers_table() -> None:
    low, high = lines("limits", size="72 mm", hole="P7", shaft="bearing")["Interference"]
    assert (low, high) == pytest.approx((8e-6, 51e-6))


# Lamé by hand: p = U / (d (C_hub + C_shaft)), steel in aluminium, outside twice the joint.
def test_a_press_fit_is_the_thick_cylinder_formula() -> None:
    d, outside, interference = 40.051e-3, 80e-3, 33e-6
    q = (d / outside) ** 2
    hub = ((1 + q) / (1 - q) + 0.33) / 72.4e9
    ring = (1 - 0.3) / 208e9
    pressure = interference / d / (hub + ring)
    force = math.pi * d * 0.020 * pressure * 0.06
    one = worked("press-fit", shaft_doubt="0", bore_doubt="0")
    least, most = lines("press-fit", shaft_doubt="0", bore_doubt="0")["Press force, full depth"]
    assert isinstance(least, float)
    assert most is not None
    assert least < force * 1.03
    assert most > force * 0.97
    assert most / least == pytest.approx(0.07 / 0.05, rel=1e-6)  # the span of friction alone
    assert "enough" in one.answer.words[0].text


# ISO 898-1: M10 of class 8.8 has a proof load of 33 700 N and breaks at 46 400 N (printed).
def test_proof_and_breaking_load_are_those_of_the_standard() -> None:
    assert value("preload", "Proof load") == pytest.approx(33_700, rel=0.005)
    assert value("preload", "Breaks at") == pytest.approx(46_400, rel=0.005)


# US Army TM 9-254 form: 100 N·m, 400 mm wrench, 50 mm adapter at 45 degrees.
def test_an_adapter_reads_by_its_angle() -> None:
    assert value("adapter", "Set or read the wrench at") == pytest.approx(91.879, abs=5e-4)
    assert value("adapter", "Set or read the wrench at", angle="90°") == pytest.approx(100.0)
    back = value("adapter", "Torque at the fastener", torque="91.879 N·m", shown="read")
    assert back == pytest.approx(100.0, abs=1e-3)


# Gas law: a case that cools by 6 K loses 171.325·6/295.15 = 3.48 kPa and nothing else.
def test_a_case_that_only_cooled_lost_nothing_by_itself() -> None:
    cooled = 171.325e3 * 6 / 295.15
    after = f"{(70e3 - cooled) / 1e3:.6f} kPa"
    assert value("leak", "Lost by itself, temperature taken out", after=after) == pytest.approx(
        0.0, abs=1.0
    )
    # methods: 7 kPa in 10 min in 1.5 L is 0.0175 Pa·m³/s.
    assert value("leak", "Limit as a rate") == pytest.approx(0.0175)
    rate = value("leak", "Leak rate at 20 °C", after="63 kPa", before_at="20 °C", after_at="20 °C")
    assert rate == pytest.approx(0.0175)


def test_absolute_and_gauge_say_the_same() -> None:
    gauge = value("leak", "Leak rate at 20 °C")
    told = {"relative": "absolute", "before": "171.325 kPa", "after": "167.825 kPa"}
    assert value("leak", "Leak rate at 20 °C", **told) == pytest.approx(gauge)


def test_a_vacuum_that_rises_is_a_leak_inwards() -> None:
    told = {"before": "-50 kPa", "after": "-45 kPa", "before_at": "20 °C", "after_at": "20 °C"}
    assert value("leak", "Vacuum lost", **told) == pytest.approx(5e3)
    assert value("leak", "Leak rate at 20 °C", **told) > 0


# Boyle: 1 L of air at 80 kPa over the atmosphere shares with 0.5 L: (180·V + 101.325·0.5)...
def test_volume_by_bottle_and_bleed_are_boyles_law() -> None:
    volume = value("bottle", "Volume of the circuit, hose and gauge with it")
    air = 101.325
    assert (80 + air) * volume + air * 0.0005 == pytest.approx((60 + air) * (volume + 0.0005))
    bled = value("bleed", "Volume of the circuit, hose and gauge with it")
    assert (70 - 63) * bled == pytest.approx(air * 0.0001)


# Points on a line: slope by hand about 10 ppm in a hundred hours.
def test_a_metal_that_rises_by_ten_a_hundred_hours_is_said_to_rise() -> None:
    found = {one.name: one for one in worked("wear-metal").answer.lines}
    assert found["Trend"].value == "rising"
    assert found["In a hundred hours"].value == pytest.approx(10.1)
    assert worked("wear-metal", samples="100 10; 200 20").answer.lines[0].value == "not yet"


# One metal: −850 mV against copper sulphate is +250 mV against zinc (a corrosion handbook's table).
def test_electrodes_are_converted_as_tabled() -> None:
    told = {"reading": "-850 mV", "electrode": "copper sulphate"}
    assert value("potential", "Against zinc", **told) == pytest.approx(0.25)
    assert worked("potential").answer.words[0].tone == "good"
    assert "Over-protected" in worked("potential", reading="-1150 mV").answer.words[0].text


# DNV-RP-B401 form by hand: 0.4 kg · 0.8 · 2000 Ah/kg / 0.05 A = 12 800 h.
def test_an_anodes_life_is_mass_times_capacity_over_current() -> None:
    assert value("anode-life", "Lasts") == pytest.approx(12_800 * 3600)
    assert "wrong alloy" in worked("anode-life", water="fresh").answer.words[0].text


def test_an_oil_is_found_again_at_its_own_points() -> None:
    assert value("viscosity", "Viscosity there", wanted="40 °C") == pytest.approx(150)
    assert value("viscosity", "Viscosity there", wanted="100 °C") == pytest.approx(14.7)


def test_every_unit_is_the_registrys() -> None:
    registry = pint.UnitRegistry()
    shown = {one.name: said(one, Style()) for one in worked("unit", value="10 psi").answer.lines}
    for sign, name in (("kPa", "kilopascal"), ("bar", "bar"), ("mbar", "millibar")):
        expected = registry.Quantity(10, "psi").to(name).magnitude
        assert float(shown[sign].split()[0]) == pytest.approx(expected, rel=1e-3)


def test_the_ring_that_followed_needs_more_heat_than_the_cold_one() -> None:
    """Only the difference of both coefficients counts once the ring is as hot as the casting."""
    cold = value("take-out", "Casting, while the ring is still cold")
    followed = value("take-out", "Casting, once the ring has followed")
    need = 39e-6 + 62e-6
    assert cold - 293.15 == pytest.approx(need / (21.5e-6 * 0.062))
    assert followed - 293.15 == pytest.approx(need / ((21.5e-6 - 12.5e-6) * 0.062), rel=0.1)


# Bad input of the issue, each a clear answer at its field.
BAD = [
    ("leak", {"relative": ""}, "relative", "gauge"),
    ("leak", {"before_at": ""}, "before_at", "temperature"),
    ("leak", {"before_at": "20 K"}, "before_at", "293.15 K"),
    ("leak", {"before_at": "293"}, "before_at", "293.15 K"),
    ("leak", {"before": "120 kPa"}, "ceiling", "maker's ceiling"),
    ("leak", {"ceiling": "60 kPa"}, "before", "no more than the ceiling"),
    ("leak", {"minutes": "-10 min"}, "minutes", "sign"),
    ("leak", {"relative": "absolute", "before": "1 kPa"}, "before", "say gauge"),
    ("leak", {"hold": ""}, "hold", "both"),
    ("press-fit", {"hub_outside": "35 mm"}, "hub_outside", "exchanged"),
    ("press-fit", {"shaft_bore": "41 mm"}, "shaft_bore", "less than the shaft"),
    ("press-fit", {"shaft": "400 mm"}, "", ""),
    ("press-fit", {"at_work": "333"}, "at_work", "293.15 K"),
    ("press-fit", {"shaft": "40 N"}, "shaft", "unit of force"),
    ("limits", {"hole": "h7"}, "hole", "capital"),
    ("limits", {"shaft": "K6"}, "shaft", "small letter"),
    ("limits", {"hole": "", "shaft": ""}, "hole", "letters"),
    ("limits", {"size": "30 m"}, "size", "500 mm"),
    ("preload", {"designation": "10 thick"}, "designation", "M10"),
    ("preload", {"designation": "M96x1.5"}, "face", "turned face"),
    ("preload", {"bolt_class": "7.7"}, "bolt_class", ""),
    ("preload", {"friction_low": "0.2", "friction_high": "0.1"}, "friction_high", "smaller first"),
    ("adapter", {"angle": "180°", "offset": "500 mm"}, "offset", "short of the hand"),
    ("lever", {"contacts": "2.5"}, "contacts", "whole number"),
    ("potential", {"reading": "-950 V"}, "reading", "Millivolts"),
    ("viscosity", {"second": "200"}, "second", "falling"),
    ("wear-metal", {"samples": "100 ten"}, "samples", "hours and ppm"),
    ("bleed", {"after": "71 kPa"}, "after", "let out"),
    ("unit", {"value": "12"}, "value", "unit"),
]


@pytest.mark.parametrize(("key", "more", "field", "words"), BAD)
def test_bad_input_gets_a_clear_answer_beside_its_field(
    key: str, more: dict[str, str], field: str, words: str
) -> None:
    with pytest.raises(InputError) as caught:
        worked(key, **more)
    if field:
        assert isinstance(caught.value, FormErrors)
        assert field in caught.value.by_field()
    assert words in str(caught.value)


def test_a_torque_above_proof_says_so() -> None:
    told = worked("preload", torque="70 N·m").answer.words[0]
    assert told.tone == "bad"
    assert told.text.startswith("Above proof")


def test_a_race_that_would_spin_says_so() -> None:
    told = worked("press-fit", shaft="40.026 mm", bore="40.018 mm", at_work="90 °C").answer.words
    assert any("spin" in one.text and one.tone in ("bad", "unsure") for one in told)


def test_a_pair_without_tabled_friction_gives_no_force_but_takes_one_by_hand() -> None:
    told = {"hub": "bronze", "ring": "stainless"}
    assert "Press force, full depth" not in lines("press-fit", **told)
    by_hand = lines("press-fit", **told, friction_low="0.08", friction_high="0.15")
    assert "Press force, full depth" in by_hand


def test_nothing_is_suggested_above_a_ceiling() -> None:
    """Whatever is needed, an open window ends at the lowest ceiling, and a closed one says so."""
    told = worked("heat-bore", ceiling="90 °C").answer
    assert told.ceilings[0].value == pytest.approx(363.15)
    assert "no safe window" in told.words[0].text.lower()
    assert not any(one.name.startswith("Time") for one in told.lines)


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(["mm", "in", "thou"]),
    st.floats(20, 150),
    st.floats(5e-3, 80e-3),
    st.floats(0.5, 10),
)
def test_units_never_change_an_answer(
    unit: str, diameter: float, interference: float, mass: float
) -> None:
    scale = {"mm": 1.0, "in": 25.4, "thou": 0.0254}[unit]
    plain = lines("heat-bore", diameter=f"{diameter} mm", interference=f"{interference} mm",
                  mass=f"{mass} kg")  # fmt: skip
    other = work_out(
        "heat-bore",
        {"diameter": f"{diameter / scale:.12f}", "diameter.unit": unit,
         "interference": f"{interference / scale:.12f} {unit}", "mass": f"{mass} kg"},
    )  # fmt: skip
    for one in other.answer.lines:
        if isinstance(one.value, float) and math.isfinite(one.value):
            assert one.value == pytest.approx(plain[one.name][0], rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(EXAMPLES)), st.data())
def test_whatever_is_typed_gets_an_answer_or_a_refusal_in_words(
    key: str, data: st.DataObject
) -> None:
    ask = data.draw(st.sampled_from(SUMS[key].asks))
    odd = data.draw(
        st.sampled_from(["0", "-1", "1e9", "nan", "inf", "x", "1,234", "5 N", "1e-12", "٣", "1 %"])
    )
    try:
        found = work_out(key, EXAMPLES[key] | {ask.name: odd})
    except CasewrightError:
        return  # every message of the tree has its words
    answer_document(found, Style())
    as_data(found)


def test_inches_are_shown_to_who_likes_them() -> None:
    style = Style({"length": "in", "temperature": "°F", "torque": "ft·lb"})
    one = work_out("limits", {"size": "1.25", "hole": "H7", "shaft": "k6"}, style.units)
    shown = {line.name: said(line, style) for line in one.answer.lines}
    assert shown["Hole H7"].endswith(" in")
    assert "thou" in shown["to a clearance of"]
