"""Slips at the bench: none may pass a bad part, throw a good one away, or shut the room."""

from __future__ import annotations

import math

import pytest
from scipy import stats

from casewright.job.evidence import answers
from casewright.job.feature_verdicts import feature_verdicts
from casewright.job.limits import limits_of
from casewright.job.measured import measured
from casewright.job.rules import check_entry
from casewright.job.verdicts import condemned_positions, piece_verdicts
from tests.phases.cast import job, kinds, sheet_text
from tests.unit.job.bench_cast import OUTSIDE, entry, only, read, refused

SHAFT, HOUSING, CARRIER, DOG = (
    "lower.prop.shaft", "lower.housing", "lower.carrier", "lower.clutch.dog",
)  # fmt: skip


# ---- money ---------------------------------------------------------------------------------


def money(comeback: str, **prices: str) -> tuple[kinds.SettingMade, ...]:
    """What a come-back costs, and prices of parts."""
    named = {f"price:{part.replace('_', '-')}": text for part, text in prices.items()}
    pairs = {"comeback-cost": comeback, **named}
    return tuple(kinds.SettingMade(name=name, value=value) for name, value in pairs.items())


def test_a_comma_between_thousands_is_no_decimal_point() -> None:
    bad = read("carrier-outside", "97.93", "97.93", "97.93", instrument="micrometer 75-100")
    found = only(*money("EUR 1,200", bearing_carrier="450"), bad)
    assert found.verdict is not None
    # By hand: as good as surely out, so keeping it costs the whole 1200 against 450.
    assert found.verdict.options[0].expected_cost == pytest.approx(1200, rel=1e-3)
    assert found.verdict.choice.value == "replace"


def test_a_price_that_is_taken_back_leaves_the_printed_one() -> None:
    printed = sheet_text().replace(
        'key = "bearing-carrier"\n', 'key = "bearing-carrier"\nprice = "450"\n'
    )
    state = job(*money("3000", bearing_carrier="none"), OUTSIDE, sheet=printed)
    (found,) = feature_verdicts(state)
    assert found.verdict is not None
    assert found.verdict.options[1].expected_cost == 450


def test_a_piece_of_a_matched_set_costs_the_whole_set() -> None:
    edge = read("dog-edges", "0.79", instrument="calliper 150")
    prices = {"pinion": "700", "ahead_gear": "900", "astern_gear": "800", "clutch_dog": "100"}
    found = only(*money("3000", **prices), edge)
    assert found.verdict is not None
    use, replace = found.verdict.options[:2]
    assert replace.expected_cost == pytest.approx(700 + 900 + 800 + 100)
    # A calliper's ± 0.04 for k = 2, step 0.02, scatter 0.015 with five degrees (practice).
    u = math.sqrt(0.02**2 + (0.02 / math.sqrt(12)) ** 2 + 0.015**2)
    out = stats.t(math.floor(u**4 / (0.015**4 / 5))).sf((0.80 - 0.79) / u)
    assert use.expected_cost == pytest.approx(3000 * out, rel=2e-3)
    assert found.verdict.choice.value == "use again"
    assert not only(*money("3000", clutch_dog="100"), edge).costed


def test_what_money_alone_keeps_is_never_said_to_be_inside_its_limits() -> None:
    bad = read("carrier-outside", "97.93", "97.93", "97.93", instrument="micrometer 75-100")
    state = job(*money("300", bearing_carrier="4000"), bad)
    said = piece_verdicts(state)[CARRIER]
    assert said.decision == "use again"
    assert "inside its limits" not in said.reason
    assert "truly out of limit is more than 99.9 %" in said.reason
    near = read("carrier-outside", "97.95", "97.95", "97.95", instrument="micrometer 75-100")
    told = only(*money("300", bearing_carrier="4000"), near).what_if
    assert told is not None
    assert f"{100 * told.chance_out:.1f} %" in told.words


# ---- damage and looks ----------------------------------------------------------------------


def test_severe_damage_leaves_use_again_to_a_person() -> None:
    crack = kinds.Found(position=CARRIER, damage="case-crack", severity="severe")
    assert piece_verdicts(job(OUTSIDE))[CARRIER].decision == "use again"
    assert CARRIER not in piece_verdicts(job(OUTSIDE, crack))
    mine = kinds.VerdictGiven(position=CARRIER, decision="use again", reason="in a fin, dyed")
    assert piece_verdicts(job(OUTSIDE, crack, mine))[CARRIER].by == "AB"
    trace = crack.model_copy(update={"severity": "trace"})
    assert piece_verdicts(job(OUTSIDE, trace))[CARRIER].decision == "use again"


def test_damage_that_was_denied_or_seen_on_a_new_piece_says_nothing_of_the_old() -> None:
    gone = kinds.Found(position=CARRIER, damage="case-crack", severity="destroyed")
    assert CARRIER in condemned_positions(job(gone))
    assert CARRIER not in condemned_positions(job(gone.model_copy(update={"answer": "no"})))
    new = kinds.PieceKnown(
        piece="carrier-2", position=CARRIER, part="bearing-carrier", origin="new"
    )
    theirs = gone.model_copy(update={"piece": "carrier-2"})
    assert CARRIER not in condemned_positions(job(new, theirs))


def test_a_piece_that_is_only_looked_at_is_judged_by_its_looks() -> None:
    pinion = "lower.pinion"
    seen = kinds.Found(feature="pinion-teeth", position=pinion, look="worn, usable")
    said = piece_verdicts(job(seen))[pinion]
    assert (said.decision, said.by) == ("use again", "AB")
    cracked = kinds.Found(position=pinion, damage="gear-fatigue-cracks", severity="severe")
    assert pinion not in piece_verdicts(job(seen, cracked))
    # A housing has bores too: its crack check alone doesn't judge it.
    dyed = kinds.Found(feature="housing-cracks", position=HOUSING, look="as new")
    assert HOUSING not in piece_verdicts(job(dyed))


def test_features_without_a_limit_are_named_where_the_rest_is_good() -> None:
    extra = kinds.SheetAdded(
        table="features",
        item={"key": "rib", "name": "height of the rib", "position": CARRIER, "kind": "length"},
    )
    assert "height of the rib" in piece_verdicts(job(extra, OUTSIDE))[CARRIER].reason


# ---- limits, warmth, instruments -----------------------------------------------------------


def test_limits_the_wrong_way_round_are_refused_and_never_shut_the_room() -> None:
    turned = entry("limit-added", target="prop-shaft-groove", low="0.3 mm", high="0.2 mm")
    assert set(refused(job(), turned)) == {"low"}
    above = entry("limit-added", target="prop-shaft-land", low="40 mm")
    assert set(refused(job(), above)) == {"low"}
    item = {
        "key": "float", "name": "end float", "position": SHAFT, "kind": "length",
        "low": "0.3 mm", "high": "0.2 mm",
    }  # fmt: skip
    assert "item.high" in refused(job(), entry("sheet-added", table="features", item=item))
    force = {key: value for key, value in item.items() if key != "low"} | {"high": "5 N·m"}
    assert "item.high" in refused(job(), entry("sheet-added", table="features", item=force))
    # In a log of long ago it stands all the same.
    old = kinds.LimitAdded(target="prop-shaft-groove", low="0.3 mm", high="0.2 mm")
    (found,) = measured(job(old, read("prop-shaft-groove", "0.04")))
    assert found.stands.problem


def test_an_end_that_is_not_typed_stays_as_printed() -> None:
    """W3 p. 50 of the invented sheet: 29.970 to 30.000 mm."""
    limits = limits_of(job(kinds.LimitAdded(target="prop-shaft-land", high="30.01 mm")),
                       "prop-shaft-land")  # fmt: skip
    assert limits is not None
    assert (limits.low, limits.high) == (pytest.approx(29.970e-3), pytest.approx(30.01e-3))


@pytest.mark.parametrize(
    ("text", "asked"),
    [("70", True), ("70 °C", False), ("70 °F", False), ("34", False), ("900 °C", True)],
)
def test_a_temperature_that_is_likelier_in_fahrenheit_is_asked_about(
    text: str, asked: bool
) -> None:
    values = ["29.985"] * 3
    made = entry("reading", target="prop-shaft-land", values=values, unit="mm", temperature=text)
    found = check_entry(job(), made)
    assert [one.field for one in found] == (["temperature"] if asked else [])
    assert ("°F" in found[0].because) == (text == "70") if asked else True


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"resolution": "0.001"}, "resolution"),
        ({"resolution": "fine"}, "resolution"),
        ({"uncertainty": "-0.002 mm"}, "uncertainty"),
        ({"wear": "2 N·m"}, "wear"),
        ({"measures": "nonsense"}, "measures"),
        ({"due": "soon"}, "due"),
        ({"due": "31.12.2025"}, "due"),
    ],
)
def test_figures_of_an_instrument_that_nobody_can_read_are_refused(
    body: dict[str, str], field: str
) -> None:
    assert set(refused(job(), entry("instrument", instrument="micrometer", **body))) == {field}


def test_a_whole_instrument_is_taken() -> None:
    made = entry(
        "instrument", instrument="micrometer", resolution="0.001 mm", uncertainty="± 0.002 mm",
        due="2030-05-17", wear="0.001 mm",
    )  # fmt: skip
    assert check_entry(job(), made) == ()


# ---- cause ---------------------------------------------------------------------------------


def test_cannot_tell_does_not_hide_what_a_reading_tells() -> None:
    state = job(
        kinds.Found(key="oil-milky", answer="unknown"),
        kinds.OilRead(occasion="as-received", water="4 %", appearance="milky"),
    )
    assert answers(state)["oil-milky"].answer == "yes"
    assert answers(job(kinds.Found(key="oil-milky", answer="unknown")))["oil-milky"].answer == (
        "unknown"
    )
