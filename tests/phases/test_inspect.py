"""Inspection: state in, view out, words out."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from casewright.errors import FormErrors
from casewright.job.entry import Entry
from casewright.job.fold import fold
from casewright.job.log import read_log
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.phases.inspect import InspectView, PieceLine, view
from casewright.reasoning.wear import hours_to_limit
from casewright.voice.document import Document, Picture
from casewright.voice.plain import as_plain, texts
from casewright.voice.quantities import Style
from casewright.voice.rooms import document as rooms_document
from casewright.voice.say_inspect import say
from tests.phases.asks import asks_of, filled
from tests.phases.cast import SETTINGS, job, kinds, sheet_text

ROOT = Path(__file__).parents[2]
SHAFT = "lower.prop.shaft"
OUT = kinds.StepDone(step="propeller-shaft-apart")
CARRIER_OUT = kinds.StepDone(step="carrier-out")


def read(target: str, *values: str, **more: object) -> kinds.Reading:
    """A reading in millimetres."""
    texts_ = tuple(f"{value} mm" for value in values)
    return kinds.Reading(target=target, values=texts_, **more)  # type: ignore[arg-type]


def shown(state: State) -> InspectView:
    """The room's view."""
    return view(state, SETTINGS)


def piece(state: State, position: str = SHAFT) -> PieceLine:
    """One piece of the view."""
    return next(one for one in shown(state).pieces if one.position == position)


def document(state: State) -> Document:
    """What the room says."""
    return say(shown(state), Style({"length": "mm"}))


def words(state: State) -> str:
    """All of it as one text, card and folds included."""
    return str(as_plain(document(state)))


def test_without_a_sheet_it_says_so() -> None:
    assert "No drive sheet" in words(State())
    assert document(State()).card is None


@pytest.mark.parametrize("path", sorted((ROOT / "sheets").glob("*.toml")), ids=lambda p: p.stem)
def test_every_sheet_half_filled_or_whole_has_an_inspection(path: Path) -> None:
    assert document(job(sheet=path.stem)).title == "Inspection"


def test_nothing_is_asked_for_that_is_still_in_the_leg() -> None:
    found = shown(job())
    assert found.next is None
    assert "propeller shaft" in found.waiting


def test_the_next_thing_is_a_look_at_the_first_piece_on_the_bench() -> None:
    card = document(job(OUT)).card
    assert card is not None
    assert "spline" in card.title
    assert card.title.startswith("Look at")
    (ask,) = (block for block in card.blocks if type(block).__name__ == "Ask")
    assert ask.kind == "finding"  # type: ignore[union-attr]


def test_after_the_look_it_asks_for_readings_and_names_an_instrument() -> None:
    state = job(OUT, kinds.Found(feature="prop-shaft-spline", position=SHAFT, look="as new"))
    card = document(state).card
    assert card is not None
    assert card.title.startswith("Read propeller shaft")
    assert "micrometer 25-50" in str(as_plain(card))


def test_a_condemned_piece_is_not_read_any_further() -> None:
    state = job(OUT, kinds.Found(feature="prop-shaft-spline", position=SHAFT, look="replace"))
    found = shown(state).next
    assert found is None or found[0].position != SHAFT
    assert "replace" in words(state)


def test_what_is_proven_out_says_so_with_the_chance_when_kept() -> None:
    state = job(OUT, read("prop-shaft-groove", "0.09", "0.08", "0.09"))
    text = words(state)
    assert "proved outside" in text
    assert "kept as it is, the chance that it is truly out of limit is more than 99.9 %" in text
    assert "sleeve" in text
    assert "run-out on the sleeve" in text  # measured afterwards


def test_an_instrument_out_of_date_is_named_and_its_reading_still_counts() -> None:
    old = kinds.InstrumentKnown(
        instrument="indicator 0.01", resolution="0.01 mm", uncertainty="0.01 mm", due="2025-12-31"
    )
    state = job(OUT, old, read("prop-shaft-groove", "0.20", instrument="indicator 0.01"))
    text = words(state)
    assert "past its calibration date (2025-12-31)" in text
    assert "2025-12-31, overdue" in text
    assert piece(state).verdict is not None


def test_an_outlier_among_repeats_is_named_and_kept() -> None:
    state = job(OUT, read("prop-shaft-groove", "0.02", "0.02", "0.18", "0.03"))
    text = words(state)
    assert "Number 3, 0.180 mm, stands apart" in text
    found = piece(state).features[1].verdict
    assert found is not None
    assert found.measured.stands.values[2] == pytest.approx(0.18e-3)


def test_two_repeats_that_disagree_are_both_doubted() -> None:
    state = job(OUT, read("prop-shaft-groove", "0.02", "0.18"))
    assert "Nobody can say which one is wrong" in words(state)


def test_a_reading_on_a_piece_still_in_the_leg_is_questioned_and_kept() -> None:
    state = job(read("ahead-cup-seat", *["79.96"] * 6))
    text = words(state)
    assert "isn't on the bench yet: is it this piece?" in text
    assert "79.960 ±" in text


def test_a_reading_of_something_that_the_sheet_lacks_is_kept_and_said() -> None:
    state = job(kinds.Reading(target="no-such-thing", values=("1 mm",)))
    assert "The sheet has no such feature" in words(state)


def test_two_directions_cannot_tell_ovality() -> None:
    state = job(OUT, CARRIER_OUT, read("carrier-outside", "97.97", "97.98"))
    text = words(state)
    assert "2 readings for 3 places: no form can be told" in text


def test_ovality_and_taper_are_those_of_the_least_squares_fit() -> None:
    # d = 29.987 + k·(z - zm) + A·cos 2t, exactly: ovality 2A, taper k.
    import math

    oval, taper = 0.002, 0.003
    values = [
        29.987 + taper * (h - 0.5) + oval * math.cos(2 * math.pi * d / 3)
        for h in range(2)
        for d in range(3)
    ]
    state = job(read("drive-shaft-journal", *[f"{v:.6f}" for v in values]))
    found = piece(state, "lower.drive.shaft").features[0].verdict
    assert found is not None
    form = found.measured.stands.sized.form  # type: ignore[union-attr]
    assert form is not None
    assert form.ovality == pytest.approx(2 * oval * 1e-3, rel=1e-3)
    assert form.taper_over_length == pytest.approx(taper * 1e-3, rel=1e-3)
    assert "ovality 0.004 mm; taper 0.003 mm" in words(state)


def test_four_positions_of_run_out_say_what_they_cannot_tell() -> None:
    state = job(OUT, read("prop-shaft-run-out", "0.00", "0.04", "0.08", "0.04"))
    text = words(state)
    assert "can't tell a 3-lobed form from eccentricity" in text
    assert "run-out, twice the eccentricity" in text


def test_two_positions_of_run_out_are_only_a_lower_bound() -> None:
    state = job(OUT, read("prop-shaft-run-out", "0.00", "0.05"))
    assert "true run-out may be larger" in words(state)


def test_a_weak_instrument_is_warned_of_where_it_cannot_decide() -> None:
    state = job(OUT, read("prop-shaft-land", *["29.985"] * 3, instrument="calliper 150"))
    assert "calliper 150 can't prove this feature good anywhere inside its limits" in words(state)


def test_a_feature_without_a_limit_says_what_the_gap_costs_and_takes_one() -> None:
    added = kinds.SheetAdded(
        table="features",
        item={"key": "hub", "name": "hub bore", "position": "lower.propeller", "kind": "bore"},
    )
    state = job(added, kinds.StepDone(step="propeller-off"), read("hub", "25.41"))
    blocks = as_plain(document(state))
    assert "no limit, so readings are kept and nobody can judge them" in str(blocks)
    assert any(ask.kind == "limit-added" for ask in asks_of(document(state)))
    limited = job(
        added,
        kinds.LimitAdded(target="hub", low="25.40 mm", high="25.50 mm"),
        read("hub", "25.45", instrument="bore gauge 20-50"),
    )
    assert piece(limited, "lower.propeller").features[0].choice == "use again"


def test_wear_life_is_that_of_the_two_dated_readings() -> None:
    first = read("pump-plate", "0.10", hours="2000 h", occasion="as-received")
    last = read("pump-plate", "0.20", hours="2500 h")
    state = job(kinds.Complaint(words="whines", hours="2500"), first, last)
    life = piece(state, "lower.pump.housing").features[0].life
    assert life is not None
    assert not life.by_calendar
    assert life.apart == pytest.approx(500 * 3600)
    u = 5.76e-6
    alone = hours_to_limit(0.1e-3, u, 0.2e-3, u, 500 * 3600, 0.3e-3, 0.75)
    assert alone.even_chance == pytest.approx(500 * 3600, rel=0.02)
    assert life.found.even_chance == pytest.approx(500 * 3600, rel=0.02)
    assert "even chance to reach the limit after 500 h more" in words(state)
    assert "An earlier reading differs" not in words(state)


def test_damage_in_the_vocabularys_words_has_its_drawing_and_its_step() -> None:
    state = job(
        kinds.Found(
            damage="bearing-moisture-corrosion", severity="severe", position="lower.ahead.cup"
        )
    )
    found = document(state)
    section = next(one for one in found.sections if one.key == "piece-lower.ahead.cup")
    (picture,) = (block for block in section.blocks if isinstance(block, Picture))
    assert "currentColor" in picture.svg
    assert "pits at roller pitch, rough when turned" in " ".join(texts(found))


def test_an_overruling_shows_reason_name_and_what_the_tool_would_say() -> None:
    state = job(
        OUT,
        read("prop-shaft-groove", "0.20"),
        kinds.VerdictGiven(position=SHAFT, decision="use again", reason="runs in a test tank only"),
    )
    text = words(state)
    assert "Use again: runs in a test tank only (AB)." in text
    assert "By itself the tool would say rework" in text


def test_new_pieces_are_read_under_their_own_name() -> None:
    state = job(
        kinds.PieceKnown(
            piece="housing-2", position="lower.housing", part="bare-lower-housing", origin="new"
        )
    )
    asked = [a for a in asks_of(document(state)) if a.fixed.get("piece") == "housing-2"]
    assert sorted(a.kind for a in asked) == ["finding", *["reading"] * 5, "verdict"]
    assert {a.fixed["occasion"] for a in asked if a.kind != "verdict"} == {"trial-1"}
    for ask in asked:
        check_entry(state, filled(ask))
    judged = kinds.VerdictGiven(
        position="lower.housing", piece="housing-2", decision="use again", reason="all inside"
    )
    known = kinds.PieceKnown(
        piece="housing-2", position="lower.housing", part="bare-lower-housing", origin="new"
    )
    assert "housing-2: use again, all inside (AB)." in words(job(known, judged))


@pytest.mark.parametrize("money", [False, True])
def test_every_form_makes_an_entry_that_the_job_takes(money: bool) -> None:
    bodies = [
        OUT,
        CARRIER_OUT,
        read("prop-shaft-groove", "0.20"),
        read("prop-shaft-land", "29.985", "29.985", "29.985"),
    ]
    if money:
        bodies.append(kinds.SettingMade(name="comeback-cost", value="2000"))
    state = job(
        *bodies,
        kinds.SheetAdded(
            table="features",
            item={"key": "hub", "name": "hub", "position": "lower.propeller", "kind": "bore"},
        ),
    )  # fmt: skip
    found = list(asks_of(document(state)))
    assert {ask.kind for ask in found} >= {
        "reading", "finding", "verdict", "limit-added", "instrument", "setting", "piece-known",
    }  # fmt: skip
    for ask in found:
        check_entry(state, filled(ask))


def test_pictures_say_the_same_in_words_and_use_no_colour_of_their_own() -> None:
    state = job(OUT, read("prop-shaft-groove", "0.20"), read("prop-shaft-land", *["29.98"] * 3))
    section = next(s for s in document(state).sections if s.key == f"piece-{SHAFT}")
    (picture,) = (block for block in section.blocks if isinstance(block, Picture))
    fills = set(re.findall(r'(?:fill|stroke)="([^"]*)"', picture.svg))
    assert all(one in ("none", "currentColor") or one.startswith("url(#") for one in fills)
    assert "at most 0.050 mm: 0.200 mm: rework" in picture.alt


def test_the_demo_reads_as_its_technician_judged_it() -> None:
    log = read_log((ROOT / "demo" / "oyster-boat.jsonl").read_text("utf-8"))
    state = fold(log.entries)
    found = {one.position: one for one in shown(state).pieces}
    for position, one in found.items():
        if one.tool and one.tool.by == "readings" and one.verdict:
            assert one.tool.decision == one.verdict.decision, position
    assert document(state).card is None


ODD_FEATURES = (
    {"key": "bent", "name": "twist of the spline", "position": SHAFT, "kind": "twist", "high": "1.5 °"},
    {"key": "hard", "name": "hardness", "position": SHAFT, "kind": "hardness", "low": "58 ×"},
    {"key": "lost", "name": "lost", "position": "no.such.place", "kind": "bore", "high": "9 mm"},
    {"key": "oval", "name": "ovality", "position": SHAFT, "kind": "ovality", "high": "0.02 mm",
     "directions": 4},
    {"key": "flat", "name": "face", "position": "lower.carrier", "kind": "flatness", "high": "0.1 mm"},
    {"key": "tap", "name": "ring nut thread", "position": "lower.carrier", "kind": "thread"},
    {"key": "low", "name": "wall", "position": "lower.carrier", "kind": "thickness", "low": "4 mm"},
)  # fmt: skip


def test_unusual_features_and_readings_never_break_the_room() -> None:
    bodies: list[kinds.Body] = [
        kinds.SheetAdded(table="features", item=dict(f)) for f in ODD_FEATURES
    ]
    unit = {"bent": "°", "hard": "×"}
    for count in (1, 2, 3, 4, 5, 8):
        for feature in ODD_FEATURES:
            value = f"{60 if feature['key'] == 'hard' else 1.2} {unit.get(feature['key'], 'mm')}"
            bodies.append(kinds.Reading(target=feature["key"], values=(value,) * count))
    bodies += [
        read("flat", "0", "0.02", "0.03", "0.01", at=("0,0", "100,0", "100,80", "0,80")),
        kinds.Reading(target="prop-shaft-land", values=("abc",)),
        read("prop-shaft-land", "0"),
        read("prop-shaft-run-out", "0.1", "0.2", "0.3", at=("0°", "0°", "0°")),
        read("low", "4.5", temperature="warm"),
    ]
    text = words(job(*bodies))
    assert "This reading can't be judged: values: got 'abc'" in text or "'abc'" in text
    assert "position that the sheet doesn't have" in text
    assert "1.200 ±" in text


@pytest.mark.parametrize("path", sorted((ROOT / "sheets").glob("*.toml")), ids=lambda p: p.stem)
@pytest.mark.parametrize("count", [1, 3, 6])
def test_any_number_of_readings_at_every_feature_is_taken(path: Path, count: int) -> None:
    sheet = job(sheet=path.stem).lookup.sheet
    bodies = [
        kinds.Reading(target=f.key, values=(f"{(f.low or f.high).text}",) * count)  # type: ignore[union-attr]
        for f in sheet.features
        if f.low or f.high
    ]
    said = document(job(*bodies, sheet=path.stem))
    assert said.sections


def test_hardness_and_twist_are_judged_in_their_own_kind() -> None:
    bodies = [kinds.SheetAdded(table="features", item=dict(f)) for f in ODD_FEATURES[:2]]
    state = job(
        *bodies,
        kinds.Reading(target="bent", values=("0.40 °",)),
        kinds.Reading(target="hard", values=("50", "51", "50"), unit="×"),
    )
    lines = {line.feature.key: line for line in piece(state).features}
    assert lines["bent"].choice == "use again"
    assert lines["hard"].choice == "replace"


BEND = {
    "key": "bench-99", "name": "propeller shaft, bend along its length", "position": SHAFT,
    "kind": "run-out", "along": "0, 150, 300, 420 mm", "supports": "0, 300 mm",
    "held": "v-blocks", "directions": "8", "high": "0.12 mm", "source": "a manual",
    "instrument": "indicator 0.01",
}  # fmt: skip


def test_a_bend_is_told_from_places_along_the_shaft() -> None:
    turns = [2 * math.pi * k / 8 for k in range(8)]
    swings = [(0.0, 0.0), (0.06, 0.02), (0.0, 0.0), (-0.09, 0.0)]
    values = [
        f"{1 + bend * math.cos(a) + lobe * math.cos(3 * a):.5f}"
        for bend, lobe in swings
        for a in turns
    ]
    state = job(OUT, kinds.SheetAdded(table="features", item=BEND), read("bench-99", *values))
    text = words(state)
    assert "most at 420 mm, 0.180 mm run-out, high at 180°" in text
    assert "bowed 0.060 mm at 150 mm" in text
    assert "3 lobes: 0.040 mm of the dial's movement is form, not bend" in text
    assert "a journal that is itself eccentric" in text
    assert "proved outside" in text


def test_a_feature_added_at_the_bench_has_to_be_whole_and_says_what_is_wrong() -> None:
    state = job(OUT)
    for wrong, said in (
        ({"along": "0, here"}, "Type it like 0.31 mm"),
        ({"along": "20 mm"}, "two or more places"),
        ({"kind": "colour"}, "Input should be"),
        ({"key": "prop-shaft-groove"}, "isn't taken"),
        ({"position": "nowhere"}, "positions"),
        ({"supports": "0 mm"}, "two places"),
    ):
        plain = {"table": "features", "item": {**BEND, **wrong}}
        entry = Entry("one", "sheet-added", plain, "AB", "2026-03-04T10:00:00+00:00")
        with pytest.raises(FormErrors, match=said):
            check_entry(state, entry)


def test_the_next_thing_is_framed_on_the_bench_schematic() -> None:
    shown_map = rooms_document("inspect", job(OUT), SETTINGS).map
    assert shown_map is not None
    assert "the next thing is at: propeller shaft" in shown_map.alt
    assert "▶ propeller shaft" in shown_map.svg


def test_a_bare_bench_says_where_the_next_piece_comes_from() -> None:
    card = document(job()).card
    assert card is not None
    assert "bench is empty" in str(as_plain(card))
    alone = job(rooms=("inspect", "cause"))
    assert shown(alone).next is not None  # nothing is stripped in this job: all is on the bench


def test_what_is_judged_is_folded_and_what_is_open_comes_first() -> None:
    sections = document(job(OUT, CARRIER_OUT)).sections
    open_ones = [one.key for one in sections[: [s.key for s in sections].index("verdicts")]]
    assert sections[0].fold is None
    assert f"piece-{SHAFT}" in open_ones
    order = [f"piece-{one.position}" for one in shown(job(OUT, CARRIER_OUT)).pieces]
    assert open_ones == [key for key in order if key in open_ones]
    judged = job(OUT, kinds.Found(feature="prop-shaft-spline", position=SHAFT, look="replace"))
    section = next(one for one in document(judged).sections if one.key == f"piece-{SHAFT}")
    assert section.fold is not None
    assert section.fold.text == "replace"


def test_used_bearings_and_gears_carry_an_estimate_that_says_so() -> None:
    bearing, mesh = "lower.astern.bearing", "lower.ahead-mesh"
    state = job(
        kinds.Complaint(words="hums", hours="2400 h"),
        kinds.Calculated(
            name=f"bearing-life:{bearing}", outputs={},
            inputs={"capacity": "54 kN", "load": "6 kN", "speed": "1500 rpm"},
        ),
        kinds.Calculated(
            name=f"gear-rating:{mesh}", outputs={},
            inputs={"torque": "12 N·m", "speed": "900 rpm", "hardness": "300"},
        ),
    )  # fmt: skip
    used = piece(state, bearing).bearing
    assert used is not None
    # ISO 281: L10 = 1e6 (54/6)^p turns; at 1500 rpm that many hours. Ball or roller by its kind.
    exponent = 3 if state.lookup.part_at(bearing).kind == "bearing" else 10 / 3
    assert used.life == pytest.approx(1e6 * 9**exponent / 1500 * 60)
    assert used.run == pytest.approx(2400 * 3600)
    said = words(state)
    assert "if it is sound, nine in ten like it go on" in said
    assert "by a textbook rating" in said
    assert "Taken as usual" in said


def test_figures_that_are_missing_or_wrong_are_said_and_nothing_is_guessed() -> None:
    state = job(
        kinds.Calculated(
            name="bearing-life:lower.astern.bearing", inputs={"capacity": "54 kN"}, outputs={}
        )
    )
    assert "needed: equivalent load P, speed" in words(state)


def test_severe_damage_asks_for_a_persons_word_once_all_is_read() -> None:
    good = read("carrier-outside", "97.975", "97.976", "97.975")
    crack = kinds.Found(position="lower.carrier", damage="case-crack", severity="severe")
    state = job(good, crack, rooms=("inspect",), sheet=only_the_carrier())
    card = document(state).card
    assert card is not None
    assert card.title == "Your word on the bearing carrier"
    assert "severe damage (crack in the housing): only your word" in words(state)
    mine = kinds.VerdictGiven(position="lower.carrier", decision="replace", reason="at the seat")
    assert (
        document(job(good, crack, mine, rooms=("inspect",), sheet=only_the_carrier())).card is None
    )


def only_the_carrier() -> str:
    """The shipped sheet with one feature left to read."""
    head, _, rest = sheet_text().partition("[[features]]")
    features, mark, tail = rest.partition("# ---- circuits, tests")
    kept = [one for one in features.split("[[features]]") if 'key = "carrier-outside"' in one]
    return f"{head}[[features]]{kept[0]}\n{mark}{tail}"


def test_a_piece_that_was_looked_at_is_never_said_to_be_unread() -> None:
    seen = kinds.Found(feature="pinion-teeth", position="lower.pinion", look="worn, usable")
    state = job(seen, rooms=("inspect",))
    assert piece(state, "lower.pinion").verdict is not None
    assert "by eye: worn, usable" in words(state)


def test_an_instrument_of_a_kind_that_nobody_knows_does_not_shut_the_room() -> None:
    strange = kinds.InstrumentKnown(instrument="mic", measures="nonsense", resolution="banana")
    assert document(job(strange)).title == "Inspection"


def test_the_form_for_a_run_out_names_its_marks() -> None:
    asks = asks_of(document(job(OUT)))
    made = [ask.fields[0] for ask in asks if ask.fixed.get("target") == "prop-shaft-run-out"]
    assert made
    assert all(field.places[:3] == ("0°", "45°", "90°") for field in made)
    assert all(len(field.places) == field.boxes for field in made)
