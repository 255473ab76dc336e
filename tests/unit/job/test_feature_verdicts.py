"""Readings judged: numbers against an independent way, pieces kept apart, rules above readings."""

from __future__ import annotations

import math

import pytest
from scipy import stats

from casewright.job.evidence import answers, contradicting, derived
from casewright.job.feature_verdicts import feature_verdicts
from casewright.job.instruments import bench_instrument, learned_scatter
from casewright.job.measured import measured, measured_on
from casewright.job.verdicts import condemned_positions, piece_verdicts, tool_verdicts
from casewright.tables.bench_instruments import practice_instrument
from tests.phases.cast import job, kinds

MICROMETER = kinds.InstrumentKnown(
    instrument="micrometer 25-50", resolution="0.001 mm", uncertainty="0.002 mm", due="2027-01-01"
)
LAND, GROOVE, OUTSIDE = "prop-shaft-land", "prop-shaft-groove", "carrier-outside"
SHAFT = "lower.prop.shaft"


def read(target: str, *values: str, **more: object) -> kinds.Reading:
    """A reading in millimetres."""
    texts = tuple(f"{value} mm" for value in values)
    return kinds.Reading(target=target, values=texts, **more)  # type: ignore[arg-type]


def test_the_chance_to_be_inside_is_students_around_the_place_nearest_a_limit() -> None:
    state = job(MICROMETER, read(LAND, "29.974", "29.978", "29.981", instrument="micrometer 25-50"))
    found = measured_on(state, LAND, f"in:{SHAFT}")
    assert found is not None
    # u by hand: practice scatter 2 µm with 5 degrees, display d/(2√3), certificate U/2.
    step, scatter, certificate = 1e-6 / (2 * math.sqrt(3)), 2e-6, 1e-6
    u = math.sqrt(step**2 + scatter**2 + certificate**2)
    freedom = u**4 / (scatter**4 / 5)
    t = stats.t(freedom)
    inside = t.cdf((30.000e-3 - 29.974e-3) / u) - t.cdf((29.970e-3 - 29.974e-3) / u)
    assert found.stands.uncertainty == pytest.approx(u)
    assert found.stands.conformance is not None
    assert found.stands.conformance.inside == pytest.approx(inside, abs=1e-9)


def test_repeats_teach_the_scatter_of_an_instrument_but_not_their_own_reading() -> None:
    state = job(
        read(GROOVE, "0.02", "0.04", "0.03", instrument="indicator 0.01"),
        read("pump-plate", "0.10", "0.14", instrument="indicator 0.01"),
    )
    squares = (0.01**2 + 0.01**2) + 2 * 0.02**2
    learned, freedom = learned_scatter(state, "indicator 0.01")
    assert freedom == 3
    assert learned == pytest.approx(math.sqrt(squares / 3) * 1e-3)
    first = state.readings[0].id
    assert learned_scatter(state, "indicator 0.01", first)[1] == 1
    usual = practice_instrument("indicator 0.01").repeatability
    pooled = math.sqrt((5 * usual**2 + squares * 1e-6) / 8)
    bench = bench_instrument(state, "indicator 0.01", "length")
    assert bench.instrument.repeatability == pytest.approx(pooled)


def test_a_reading_on_a_new_piece_says_nothing_of_the_one_that_came_in() -> None:
    state = job(
        read(LAND, "29.90", "29.90", "29.90"),
        kinds.PieceKnown(piece="shaft-2", position=SHAFT, part="propeller-shaft", origin="new"),
        read(LAND, "29.985", "29.985", "29.985", piece="shaft-2", occasion="trial-1"),
    )
    verdicts = {one.measured.piece: one.verdict for one in feature_verdicts(state)}
    assert verdicts[f"in:{SHAFT}"].choice.value == "rework"  # type: ignore[union-attr]
    assert verdicts["shaft-2"].choice.value == "use again"  # type: ignore[union-attr]
    assert piece_verdicts(state)[SHAFT].decision == "rework"


def test_a_piece_is_used_again_only_once_all_of_it_was_read_and_seen() -> None:
    some = (
        read(LAND, "29.985", "29.985", "29.986", instrument="micrometer 25-50"),
        read(GROOVE, "0.01"),
        read("prop-shaft-run-out", "0.00", "0.01", "0.02", "0.03", "0.03", "0.02", "0.01", "0.00"),
    )
    assert SHAFT not in piece_verdicts(job(MICROMETER, *some))
    seen = kinds.Found(feature="prop-shaft-spline", position=SHAFT, look="as new")
    verdict = piece_verdicts(job(MICROMETER, *some, seen))[SHAFT]
    assert (verdict.decision, verdict.by) == ("use again", "readings")


def test_a_look_that_condemns_takes_the_matched_mate_along() -> None:
    state = job(kinds.Found(feature="ahead-taper-race", position="lower.ahead.cup", look="replace"))
    assert {"lower.ahead.cup", "lower.ahead.cone"} <= condemned_positions(state)
    again = kinds.Found(feature="ahead-taper-race", position="lower.ahead.cup", look="as new")
    last = kinds.Found(feature="ahead-taper-race", position="lower.ahead.cup", look="replace")
    assert "lower.ahead.cup" not in condemned_positions(job(last, again))


def test_a_persons_word_stands_above_and_the_tools_is_still_known() -> None:
    state = job(
        read(GROOVE, "0.30"),
        kinds.VerdictGiven(position=SHAFT, decision="use again", reason="spare for the pump"),
    )
    assert piece_verdicts(state)[SHAFT].decision == "use again"
    assert tool_verdicts(state)[SHAFT].decision == "rework"


def test_too_near_a_limit_is_read_again_with_the_finer_instrument_of_the_register() -> None:
    calliper = kinds.InstrumentKnown(
        instrument="calliper 150", resolution="0.02 mm", uncertainty="0.04 mm"
    )
    fine = MICROMETER.model_copy(update={"instrument": "micrometer 75-100"})
    reading = read(OUTSIDE, "97.97", "97.97", "97.97", instrument="calliper 150")
    (found,) = feature_verdicts(job(calliper, fine, MICROMETER, reading))
    assert found.verdict is not None
    assert (found.verdict.choice.value, found.verdict.detail) == ("read again", "micrometer 75-100")


def test_with_price_and_comeback_the_least_cost_decides() -> None:
    money = (
        kinds.SettingMade(name="price:bearing-carrier", value="400"),
        kinds.SettingMade(name="comeback-cost", value="3000"),
    )
    reading = read(OUTSIDE, "97.963", "97.963", "97.963", instrument="micrometer 75-100")
    (found,) = feature_verdicts(job(*money, reading))
    assert found.costed
    assert found.verdict is not None
    out = found.measured.stands.conformance.outside  # type: ignore[union-attr]
    use, replace = found.verdict.options[0], found.verdict.options[1]
    assert use.expected_cost == pytest.approx(3000 * out, rel=1e-6)
    assert replace.expected_cost == 400
    open_ones = [o for o in found.verdict.options if not o.barred]
    assert found.verdict.choice is min(open_ones, key=lambda o: o.expected_cost or 0).choice


def test_the_latest_stands_unless_a_finer_one_agrees_with_it() -> None:
    rough = read(OUTSIDE, "97.98", "97.98", "97.98", instrument="calliper 150")
    fine = read(OUTSIDE, "97.971", "97.971", "97.972", instrument="micrometer 75-100")
    (kept,) = measured(job(fine, rough))
    assert kept.stands.instrument.name == "micrometer 75-100"
    (changed,) = measured(
        job(fine, read(OUTSIDE, "97.80", "97.80", "97.80", instrument="calliper 150"))
    )
    assert changed.stands.instrument.name == "calliper 150"
    assert changed.notes


def test_a_bore_read_warm_is_brought_to_twenty_degrees() -> None:
    warm = read(
        "ahead-cup-seat", *["79.990"] * 6, temperature="40 °C", gauge_temperature="20 °C",
        instrument="bore gauge 50-150",
    )  # fmt: skip
    (found,) = measured(job(warm))
    assert found.stands.sized is not None
    assert found.stands.sized.budget is not None
    # By hand: aluminium 21.5e-6 /K over 20 K on 79.99 mm.
    assert found.stands.sized.budget.value == pytest.approx(79.990e-3 / (1 + 21.5e-6 * 20))
    assert found.stands.conformance is not None
    cold = measured(job(read("ahead-cup-seat", *["79.990"] * 6)))[0].stands.conformance
    assert cold is not None
    assert found.stands.conformance.inside > 0.5 > cold.inside


def test_without_a_limit_there_is_a_size_and_no_verdict() -> None:
    sheet_feature = kinds.SheetAdded(
        table="features", because="worn",
        item={"key": "hub-bore", "name": "hub bore", "position": "lower.propeller", "kind": "bore"},
    )  # fmt: skip
    (found,) = feature_verdicts(job(sheet_feature, read("hub-bore", "25.40")))
    assert found.verdict is None
    assert found.measured.stands.sized is not None
    assert "lower.propeller" not in piece_verdicts(job(sheet_feature, read("hub-bore", "25.40")))


def test_welding_a_bearing_seat_is_never_advised_outright() -> None:
    state = job(read("ahead-cup-seat", *["80.06"] * 6))
    (found,) = feature_verdicts(state)
    assert found.verdict is not None
    assert found.verdict.choice.value == "replace"
    weld = next(offer for offer in found.reworks if offer.key == "weld")
    assert weld.only_if
    assert not weld.is_open


def test_readings_oil_and_anodes_answer_findings_by_themselves() -> None:
    state = job(
        read(GROOVE, "0.20"),
        kinds.OilRead(occasion="as-received", water="4 %", appearance="milky"),
        kinds.AnodeRead(anode="trim-anode", occasion="as-received", left="35 %"),
        kinds.Reading(target="ahead-lash", values=("0.93 mm",), occasion="as-found"),
        kinds.Found(damage="gear-scuffing", severity="moderate", position="lower.pinion"),
    )
    told = {key: one.answer for key, one in answers(state).items()}
    assert told == {
        "seal-groove-bright": "yes", "oil-milky": "yes", "anode-gone": "yes",
        "anode-like-new": "no", "lash-out-of-window": "yes", "teeth-scuffed": "yes",
    }  # fmt: skip
    assert all(one.origin for several in derived(state).values() for one in several)


def test_what_a_person_said_stands_and_the_difference_is_known() -> None:
    state = job(read(GROOVE, "0.20"), kinds.Found(key="seal-groove-bright", answer="no"))
    assert answers(state)["seal-groove-bright"].answer == "no"
    ((spoken, other),) = contradicting(state)
    assert (spoken.answer, other.answer) == ("no", "yes")


def test_the_final_build_and_verdicts_reasons_say_nothing_of_the_cause() -> None:
    state = job(
        kinds.VerdictGiven(position=SHAFT, decision="replace", reason="bright groove, bent"),
        kinds.AnodeRead(anode="trim-anode", occasion="final", left="30 %"),
        kinds.OilRead(occasion="after-run", water="3 %"),
        kinds.Reading(target="ahead-lash", values=("0.99 mm",), occasion="trial-1"),
    )
    assert not answers(state)


def test_a_slip_among_repeats_does_not_spoil_what_is_known_of_the_instrument() -> None:
    clean = job(read(GROOVE, "0.02", "0.02", "0.03", instrument="indicator 0.01"))
    slip = job(read(GROOVE, "0.02", "0.18", "0.02", "0.03", instrument="indicator 0.01"))
    assert learned_scatter(slip, "indicator 0.01") == pytest.approx(
        learned_scatter(clean, "indicator 0.01")
    )


def lash(target: str, value: str) -> kinds.Reading:
    """An as-found lash."""
    return kinds.Reading(target=target, values=(f"{value} mm",), occasion="as-found")


def test_one_good_mesh_neither_denies_nor_contradicts_a_bad_one() -> None:
    bad, good = lash("ahead-lash", "0.93"), lash("astern-lash", "0.80")
    seen = kinds.Found(key="lash-out-of-window")
    assert answers(job(bad, good))["lash-out-of-window"].answer == "yes"
    assert not contradicting(job(seen, bad, good))
    assert "lash-out-of-window" not in answers(job(good))
    fine = lash("ahead-lash", "0.50")
    assert answers(job(fine, good))["lash-out-of-window"].answer == "no"
    ((spoken, told),) = contradicting(job(seen, fine, good))
    assert (spoken.answer, told.answer) == ("yes", "no")


def test_a_word_on_a_new_piece_is_that_pieces_and_not_the_old_ones() -> None:
    state = job(
        read(GROOVE, "0.30"),
        kinds.PieceKnown(piece="shaft-2", position=SHAFT, part="propeller-shaft", origin="new"),
        kinds.VerdictGiven(position=SHAFT, piece="shaft-2", decision="use again", reason="inside"),
    )
    assert piece_verdicts(state)[SHAFT].decision == "rework"
