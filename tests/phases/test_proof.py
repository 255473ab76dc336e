"""Proof: torque record, sealing tests, oil, anodes, functional tests; refusals and gaps."""

from __future__ import annotations

from dataclasses import replace

import pytest

from casewright.job import kinds
from casewright.job.leak_tests import circuit_line
from casewright.job.state import State
from casewright.job.torque_log import closing
from casewright.phases.proof import ProofView, view
from casewright.voice import say_proof
from casewright.voice.document import Caution, Document
from casewright.voice.plain import texts
from casewright.voice.rooms import document, style_for
from tests.phases.cast import SETTINGS, job
from tests.phases.cast import sheet_text as text_of
from tests.phases.proof_asks import asks_of, check
from tests.phases.proof_cast import CARRIER, leak, leak_text, opened, torque


def room(state: State) -> tuple[ProofView, Document, str]:
    """View, document and all its words."""
    seen = view(state, SETTINGS)
    said = say_proof.say(seen, style_for(state, SETTINGS))
    return seen, said, "\n".join(texts(said))


def cover(*bodies: object, **more: object) -> State:
    """A job whose drive shaft cover (four M8 in aluminium, 12 then 24 N·m) was opened."""
    return job(*opened("cover-off"), *bodies, **more)  # type: ignore[arg-type]


def steps_of(state: State, joint: str) -> list[str]:
    line = next(one.line for one in view(state, SETTINGS).torques if one.line.key == joint)
    return [step.word for step in line.steps]


# ---- torque ---------------------------------------------------------------------------------


def test_a_torque_in_the_sheets_window_is_inside_and_the_next_step_is_asked_for() -> None:
    state = cover(torque("cover-off", 1, "12"))
    seen, said, _ = room(state)
    assert steps_of(state, "cover-off") == ["inside", "missing"]
    assert seen.next == ("torque", "cover-off")
    assert said.card is not None
    assert said.card.title == "Torque: drive shaft cover, step 2 of 2, 4 fasteners"


def test_an_adapter_in_line_adds_to_what_the_wrench_shows() -> None:
    # T = Tw (L + A)/L (US Army TM 1-1500-204-23-9): 24 N·m, 400 and 50 mm give 27.0 N·m, over
    # the sheet's 26.4; square to the wrench it changes nothing.
    lever = {"wrench_length": "400 mm", "adapter_length": "50 mm"}
    straight = cover(torque("cover-off", 1, "12"), torque("cover-off", 2, "24", **lever))
    line = next(o.line for o in view(straight, SETTINGS).torques if o.line.key == "cover-off")
    assert line.steps[1].at_fastener == pytest.approx(27.0)
    assert line.steps[1].word in ("not proven", "outside", "above proof")
    square = cover(torque("cover-off", 2, "24", **lever, adapter_angle="90 °"))
    assert steps_of(square, "cover-off") == ["missing", "inside"]


def test_an_adapter_without_the_wrenchs_length_is_not_judged() -> None:
    state = cover(torque("cover-off", 1, "12", adapter_length="50 mm"))
    assert steps_of(state, "cover-off")[0] == "can't be judged"
    assert "wrench length" in room(state)[2]


def test_a_torque_that_may_pass_the_proof_load_says_so_before_all() -> None:
    # M8 A4-80: 0.2 % yield load 36.6 mm² x 600 MPa = 21.96 kN (ISO 3506-1); 60 N·m on a dry
    # thread gives up to F = M/(0.16 P + 0.58 d2 mu + DKm/2 mu) with mu 0.14 (VDI 2230).
    arm = 0.16 * 1.25e-3 + 0.58 * 7.188e-3 * 0.14 + 0.5 * (11.63e-3 + 9.0e-3) / 2 * 0.14
    assert 60 * 1.04 / arm > 21.96e3
    state = cover(torque("cover-off", 1, "12"), torque("cover-off", 2, "60"))
    assert steps_of(state, "cover-off") == ["inside", "above proof"]
    seen, said, words = room(state)
    assert "pass" in words
    assert seen.next == ("torque", "cover-off")
    assert said.card is not None
    assert "step 2" in said.card.title


def test_an_oiled_thread_at_a_dry_torque_is_never_inside() -> None:
    state = cover(torque("cover-off", 1, "12", lubricated="oiled"))
    assert steps_of(state, "cover-off")[0] in ("outside", "above proof")
    assert "Tightened oiled" in room(state)[2]


def test_places_that_no_record_covers_are_named() -> None:
    state = cover(torque("cover-off", 1, "12", places=(1, 3)), torque("cover-off", 2, "24"))
    assert "still open: place 2, 4" in "\n".join(_notes(room(state)[1]))


def test_steps_out_of_order_are_named() -> None:
    # The sheet's order is 1 3 2 4.
    done = [torque("cover-off", 1, "12", places=(place,)) for place in (1, 2, 3, 4)]
    words = room(cover(*done, torque("cover-off", 2, "24")))[2]
    assert "out of order" in words


def test_a_tool_used_below_a_fifth_of_its_scale_is_not_judged() -> None:
    # ISO 6789: no deviation is stated below 20 % of the largest torque.
    state = cover(torque("cover-off", 1, "12", tool_most="200 N·m"))
    assert steps_of(state, "cover-off")[0] == "can't be judged"


def test_a_left_hand_ring_nut_is_tightened_anticlockwise_and_its_pull_is_told() -> None:
    state = job(*opened("ring-nut-off"))
    one = next(o for o in view(state, SETTINGS).torques if o.line.key == "ring-nut-off")
    assert one.line.way == "anticlockwise"
    # Moment of a force: 180 N·m on a bar of half a metre is 360 N.
    assert dict(one.bars)[0.5] == pytest.approx(360.0)
    assert "left-hand thread" in room(state)[1].card.blocks[0].text  # type: ignore[union-attr]


def test_a_hand_and_a_way_to_turn_that_contradict_each_other_are_pointed_out() -> None:
    text = text_of().replace('turns_out = "clockwise"\n', "")
    state = job(*opened("ring-nut-off"), sheet=text)
    cautions = [b for b in room(state)[1].card.blocks if isinstance(b, Caution)]  # type: ignore[union-attr]
    assert any("left-handed" in caution.text for caution in cautions)


def test_stripping_of_the_aluminium_thread_is_an_estimate_beside_the_preload() -> None:
    state = cover()
    one = next(o for o in view(state, SETTINGS).torques if o.line.key == "cover-off")
    assert one.strip is not None
    assert one.preload is not None
    assert one.strip_share == pytest.approx(one.preload.high / one.strip.internal)
    assert "strips at about" in room(state)[2]


@pytest.mark.parametrize(
    ("name", "closed"),
    [
        ("pinion nut off", "pinion nut"),
        ("bearing carrier out of the housing", "bearing carrier into the housing"),
        ("lower gearcase off the upper housing", "lower gearcase to the upper housing"),
        ("offset lever", "offset lever"),
    ],
)
def test_a_joint_is_named_as_it_goes_together(name: str, closed: str) -> None:
    assert closing(name) == closed


# ---- sealing --------------------------------------------------------------------------------


def words_of(state: State) -> dict[str, str]:
    line = circuit_line(state, state.lookup.circuits["gear-oil"])
    return {one.test.name: one.word for one in line.tests}


def test_a_case_that_only_cools_is_tight_and_its_drift_is_shown_apart() -> None:
    # 6 K of cooling at 70 kPa over the atmosphere takes 171.3/295.15*6 = 3.48 kPa off the gauge.
    state = job(leak("full", 70, cooled=6.0))
    line = circuit_line(state, state.lookup.circuits["gear-oil"])
    judged = next(one for one in line.tests if one.test.name == "full").judged
    assert judged is not None
    assert judged.word == "tight"
    assert judged.printed_drop == pytest.approx(3480, rel=0.02)
    assert judged.estimate is not None
    assert judged.estimate.temperature_drift > 5 * abs(judged.estimate.leak_rate)


def test_a_leak_rate_comes_back_from_a_log_made_with_it() -> None:
    # 30 Pa/s out of 1.5 L is 45 Pa·L/s; the sheet's limit is 7 kPa in 10 min, 17.5 Pa·L/s.
    state = job(leak("full", 70, lost=0.03, cooled=2.0))
    line = circuit_line(state, state.lookup.circuits["gear-oil"])
    judged = next(one for one in line.tests if one.test.name == "full").judged
    assert judged is not None
    assert judged.word == "leak"
    assert judged.limit is not None
    assert judged.limit.leak_rate * 1e3 == pytest.approx(17.5)
    assert judged.estimate is not None
    assert judged.estimate.leak_rate * 1e3 == pytest.approx(45, rel=0.25)


def test_the_tests_are_asked_for_in_the_sheets_order_and_the_drop_kept_as_printed() -> None:
    state = job(*opened("carrier-out"), leak("low", 20))
    seen, said, words = room(state)
    assert seen.next == ("leak", "gear-oil")
    assert said.card is not None
    assert said.card.title == "Full pressure test: gear oil space"
    assert "20 kPa for 3 min, drop at most 2 kPa = 16.67 Pa·L/s" in words


def test_a_short_log_is_not_proven_yet_and_says_how_long_still() -> None:
    state = job(*opened("carrier-out"), leak("low", 20, seconds=20))
    assert words_of(state)["low"] == "not proven yet"
    assert "Go on holding about" in room(state)[2]


def test_a_leak_that_begins_late_is_not_called_tight() -> None:
    quiet = leak_text(70, seconds=300)
    rows = [f"{300 + t}, {70 - 0.06 * t:.2f}, 22.00" for t in range(5, 905, 5)]
    body = leak("full", 70).model_copy(update={"text": "\n".join([quiet, *rows])})
    assert words_of(job(body))["full"] == "leak"


def test_a_gross_leak_is_called_at_once_with_places_to_look() -> None:
    state = job(*opened("carrier-out"), leak("low", 20, lost=1.0, seconds=15))
    seen, said, words = room(state)
    assert words_of(state)["low"] == "leak"
    assert "Gross leak" in words
    assert said.card is not None
    assert said.card.title == "Find the leak: gear oil space"
    assert any("left out" in place.where for place in seen.circuits[0].places)


def test_a_leak_under_vacuum_only_points_at_the_lips_that_face_outwards_by_name() -> None:
    state = job(leak("low", 20), leak("full", 70), leak("vacuum", -35, lost=-0.06))
    assert words_of(state) == {"low": "tight", "full": "tight", "vacuum": "leak"}
    words = room(state)[2]
    assert "propeller shaft seal, outer" in words
    assert "only the lip that keeps water out fails" in words


def test_positive_figures_on_a_vacuum_test_are_a_gauge_that_counts_downwards() -> None:
    up, down = job(leak("vacuum", -35)), leak("vacuum", -35)
    turned = down.model_copy(update={"text": down.text.replace(", -", ", ")})
    assert words_of(job(turned)) == words_of(up)


def test_a_log_above_the_ceiling_gets_a_stop_first_in_the_room_and_no_verdict() -> None:
    state = job(*opened("carrier-out"), leak("full", 128))
    seen, said, _ = room(state)
    assert words_of(state)["full"] == "stop"
    assert seen.next == ("stop", "gear-oil")
    assert said.card is not None
    assert said.card.title == "Stop: too much pressure in gear oil space"
    assert said.sections[0].key == "leak-gear-oil"
    first = said.card.blocks[0]
    assert isinstance(first, Caution)
    assert first.title == "Stop"


def test_the_stop_stays_said_after_a_better_log() -> None:
    state = job(*opened("carrier-out"), leak("full", 128), leak("full", 70))
    seen, said, _ = room(state)
    assert seen.stopped is None
    assert words_of(state)["full"] == "tight"
    section = next(s for s in said.sections if s.key == "leak-gear-oil")
    stops = [b for b in section.blocks if isinstance(b, Caution) and b.title == "Stop"]
    assert "128.00 kPa" in stops[0].text


def test_a_sheet_that_orders_a_test_above_its_own_ceiling_is_refused() -> None:
    state = job(*opened("carrier-out"), sheet=text_of().replace('"110 kPa"', '"50 kPa"'))
    seen, said, words = room(state)
    assert seen.circuits[0].refusals
    assert "isn't offered" in words
    offered = [a.fixed["test"] for a in asks_of(said) if a.kind == "leak-log"]
    assert "full" not in offered


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"temperature_unit": "K", "text": "0, 70, 21\n5, 70, 21\n9, 70, 21"}, "degrees Celsius"),
        ({"text": "time [s], pressure [kPa]\n0, 70\n5, 70\n9, 70"}, "temperature"),
        ({"text": "0, 70, 21\n9, 70, 21\n5, 70, 21"}, "runs backwards"),
        (
            {"text": "time [s], pressure [kPa absolute], wall [degC]\n0,171,21\n5,171,21"},
            "absolute",
        ),
        ({"text": "0, seventy, 21\n5, 70, 21\n9, 70, 21"}, "row 1 pressure"),
    ],
)
def test_bad_logs_get_a_clear_answer_and_no_verdict(change: dict[str, str], said: str) -> None:
    body = leak("full", 70).model_copy(update=change)
    state = job(body)
    assert words_of(state)["full"] == "can't be read"
    assert said in room(state)[2]


def test_gauge_or_absolute_has_no_default_in_the_form() -> None:
    said = room(job(*opened("carrier-out")))[1]
    ask = next(a for a in asks_of(said) if a.kind == "leak-log")
    field = next(f for f in ask.fields if f.name == "relative_to")
    assert field.needed
    assert field.value == ""


def test_units_in_the_logs_header_win_over_the_forms() -> None:
    # 10.15 psi is 70 kPa (1 psi = 6.894757 kPa, NIST SP 811, memory).
    rows = "\n".join(f"{t}, 10.153, 22" for t in range(0, 300, 5))
    header = "time [s], pressure [psi], wall [degC]\n"
    state = job(leak("full", 70).model_copy(update={"text": header + rows}))
    line = circuit_line(state, state.lookup.circuits["gear-oil"])
    judged = next(one for one in line.tests if one.test.name == "full").judged
    assert judged is not None
    assert judged.start == pytest.approx(70_000, rel=1e-3)


def test_a_log_without_temperatures_goes_on_only_when_that_is_said() -> None:
    text = "\n".join(f"{t}, 70.0" for t in range(0, 900, 5))
    bare = leak("full", 70).model_copy(update={"text": text})
    assert words_of(job(bare))["full"] == "can't be read"
    said = bare.model_copy(update={"without_temperature": True})
    state = job(said)
    assert words_of(state)["full"] in ("tight", "not proven yet")
    assert "drift can't be told from a leak" in room(state)[2]


def test_a_hold_below_the_test_pressure_proves_nothing() -> None:
    state = job(leak("full", 40))
    assert words_of(state)["full"] == "not at the test pressure"


def test_no_drop_in_the_sheet_means_no_verdict_and_the_rate_is_kept() -> None:
    state = job(leak("full", 70), sheet=text_of().replace('drop = "7 kPa"\n', ""))
    assert words_of(state)["full"] == "no limit in the sheet"
    assert "nobody says how much is too much" in room(state)[2]


def test_the_energy_in_the_case_is_told() -> None:
    # Isentropic expansion, k = 1.4: E = p V/(k-1) (1 - (pa/p)^((k-1)/k)), 1.5 L at 70 kPa gauge.
    energy = view(job(), SETTINGS).circuits[0].energy
    p, pa = 171e3, 101e3
    by_hand = p * 1.5e-3 / 0.4 * (1 - (pa / p) ** (0.4 / 1.4))
    assert energy is not None
    assert energy.expansion == pytest.approx(by_hand, rel=2e-3)


# ---- oil, anodes, functions -----------------------------------------------------------------

FULL = {"upper_plug_first": True, "rested": "20 min", "level_checked": True}


def oil(volume: str, **more: object) -> State:
    plain = {"volume": volume, "unit": "L"} | more
    return job(*opened("drain-oil"), kinds.OilFilled.model_validate(plain))


def test_a_fill_against_the_capacity_tells_trapped_air() -> None:
    assert view(oil("0.94", **FULL), SETTINGS).oil.is_good
    short = oil("0.80", **FULL)
    assert view(short, SETTINGS).oil.problems[0].startswith("air trapped")
    assert "0.150 L" in room(short)[2]


@pytest.mark.parametrize(
    ("left_out", "said"),
    [
        ("upper_plug_first", "upper plug"),
        ("rested", "sheet asks for 20 min"),
        ("level_checked", "level was not checked"),
    ],
)
def test_each_step_of_the_level_procedure_counts(left_out: str, said: str) -> None:
    kept = {name: value for name, value in FULL.items() if name != left_out}
    state = oil("0.94", **kept)
    assert not view(state, SETTINGS).oil.is_good
    assert said in room(state)[2]


def test_water_in_the_oil_is_sent_to_the_cause() -> None:
    state = job(kinds.OilRead(occasion="as-found", water="0.3 %", appearance="milky"))
    assert view(state, SETTINGS).samples[0].water_sign
    assert "finding" in room(state)[2]


def test_three_samples_make_a_trend_of_a_metal_and_two_do_not() -> None:
    rows = [("10 h", "20 ppm"), ("60 h", "70 ppm"), ("110 h", "121 ppm"), ("160 h", "170 ppm")]
    bodies = [
        kinds.OilRead(occasion="after-run", hours=hours, metals={"iron": ppm})
        for hours, ppm in rows
    ]
    assert view(job(*bodies[:2]), SETTINGS).trends[0].trend.word == "not yet"
    trend = view(job(*bodies), SETTINGS).trends[0].trend
    assert trend.word == "rising"
    assert trend.slope == pytest.approx(1e-6 / 3600, rel=0.02)


def test_samples_of_earlier_jobs_of_the_leg_count_and_are_said() -> None:
    def sampled(hours: str, ppm: str, **more: str) -> State:
        return job(kinds.OilRead(occasion="after-run", hours=hours, metals={"iron": ppm}), **more)

    earlier = (sampled("100 h", "20 ppm"), sampled("400 h", "45 ppm"), sampled("700 h", "70 ppm"))
    settings = replace(SETTINGS, earlier=earlier)
    now = job(
        kinds.Complaint(words="hums", hours="1000"),
        kinds.OilRead(occasion="as-received", metals={"Iron": "96 ppm"}),
    )
    assert view(now, SETTINGS).trends[0].trend.word == "not yet"
    (found,) = view(now, settings).trends
    assert (found.samples, found.earlier, found.trend.word) == (4, 3, "rising")
    said = " ".join(texts(document("proof", now, settings)))
    assert "over 4 samples, 3 of them in earlier jobs of this leg" in said


def anode(**more: object) -> State:
    plain = {"anode": "trim-anode"} | more
    return job(*opened("anode-off"), kinds.AnodeRead.model_validate(plain))


def test_a_potential_is_converted_to_the_electrode_of_the_window() -> None:
    # +0.25 V against zinc is -0.78 V against silver chloride in sea water (UFC/MIL rule of thumb).
    state = anode(potential="250 mV", electrode="zinc")
    line = view(state, SETTINGS).anodes[0][0]
    assert line.protection is not None
    assert line.protection.potential == pytest.approx(-0.78)
    assert line.protection.word == "under-protected"


def test_over_protection_paint_and_a_poor_bond_are_each_said() -> None:
    over = room(anode(potential="-1150 mV", electrode="silver chloride sea water"))[2]
    assert "over-protected" in over
    assert "Painted" in room(anode(painted=True))[2]
    assert "over the sheet's 0.1 ohm" in room(anode(bond="0.4 Ω"))[2]
    assert view(anode(bond="0.05 Ω", left="100 %"), SETTINGS).anodes[0][0].bond_word == "good"


def test_a_functional_test_that_fails_is_asked_for_again() -> None:
    done = [kinds.FunctionTested(test=key, passed=True) for key in ("shift-both-ways", "tank-run")]
    failed = kinds.FunctionTested(test="pump-flow", passed=False, words="no water")
    state = job(*opened("pump-off"), torque("pump-off", 1, "7"), *done, failed)
    seen, said, _ = room(state)
    assert seen.next == ("function", "pump-flow")
    assert said.card is not None
    assert said.card.title == "Test: water pump flow"


# ---- everywhere -----------------------------------------------------------------------------


def _notes(document: Document) -> list[str]:
    from casewright.voice.document import Cell, Table

    tables = [b for s in document.sections for b in s.blocks if isinstance(b, Table)]
    return [c.note for t in tables for row in t.rows for c in row if isinstance(c, Cell)]


STATES = {
    "no sheet": lambda: State(),
    "fresh": lambda: job(),
    "opened": lambda: job(*opened(*CARRIER, "cover-off", "lower-off-upper", "anode-off")),
    "stopped": lambda: job(*opened(*CARRIER), leak("full", 128)),
    "half-filled": lambda: job(
        sheet='[sheet]\nsheet_version = 1\nkey = "bare"\nname = "bare"\n'
        '[[units]]\nkey = "box"\nname = "box"\n'
        '[[parts]]\nkey = "ring"\nname = "ring"\nkind = "cup"\n'
        '[[positions]]\nkey = "seat"\nname = "seat"\npart = "ring"\nunit = "box"\n'
        '[[joints]]\nkey = "ring-out"\nname = "ring out"\nkind = "press-fit"\nholds = ["seat"]\n'
        '[joints.fit]\ndiameter = "62 mm"\n'
        '[[joints]]\nkey = "lid-off"\nname = "lid off"\nkind = "fasteners"\nholds = ["seat"]\n'
        '[joints.fasteners]\ncount = 3\nthread = "odd"\n'
        '[[circuits]]\nkey = "oil"\nname = "oil"\nmedium = "oil"\n'
    ),
}


@pytest.mark.parametrize("name", STATES)
def test_the_room_speaks_on_every_kind_of_job_and_always_says_the_standing_caution(
    name: str,
) -> None:
    _, said, _ = room(STATES[name]())
    cautions = [b.text for s in said.sections for b in s.blocks if isinstance(b, Caution)]
    assert any("licensed practice come first" in text for text in cautions)


@pytest.mark.parametrize("name", ["opened", "stopped", "half-filled"])
def test_every_form_makes_an_entry_that_the_job_takes(name: str) -> None:
    state = STATES[name]()
    for ask in asks_of(room(state)[1]):
        check(state, ask)


def test_every_section_begins_with_a_caution() -> None:
    said = room(job(*opened(*CARRIER)))[1]
    assert all(isinstance(section.blocks[0], Caution) for section in said.sections)


def test_nothing_is_next_in_a_job_that_opened_nothing() -> None:
    seen, said, _ = room(job())
    assert seen.next == ("", "")
    assert said.card is None


def test_a_fast_long_log_says_the_same_as_one_reading_a_second() -> None:
    def log(step: float) -> kinds.LeakLogged:
        rows = [f"{k * step:.2f}, {70 - 0.03 * k * step:.2f}, 22" for k in range(int(600 / step))]
        return leak("full", 70).model_copy(update={"text": "\n".join(rows)})

    fast, slow = (job(log(step)) for step in (0.1, 1.0))
    assert words_of(fast)["full"] == words_of(slow)["full"] == "leak"
    rates = []
    for state in (fast, slow):
        line = circuit_line(state, state.lookup.circuits["gear-oil"])
        judged = next(one for one in line.tests if one.test.name == "full").judged
        assert judged is not None
        assert judged.estimate is not None
        rates.append(judged.estimate.leak_rate)
    assert rates[0] == pytest.approx(rates[1], rel=0.02)


def test_an_oil_space_without_a_volume_takes_that_of_its_oil_and_the_word_stays() -> None:
    # 0.95 L of oil against 1.5 L by the sheet: the rate falls in proportion, the verdict doesn't.
    text = text_of().replace('volume = "1.5 L"\n', "")
    rates = {}
    for name, sheet in (("sheet", text_of()), ("oil", text)):
        state = job(leak("full", 70, lost=0.03), sheet=sheet)
        assert words_of(state)["full"] == "leak"
        line = circuit_line(state, state.lookup.circuits["gear-oil"])
        judged = next(one for one in line.tests if one.test.name == "full").judged
        assert judged is not None
        assert judged.estimate is not None
        rates[name] = judged.estimate.leak_rate
    assert rates["oil"] / rates["sheet"] == pytest.approx(0.95 / 1.5, rel=1e-6)


def test_a_filled_case_is_to_be_drained_before_air_goes_in() -> None:
    state = job(*opened("drain-oil"), kinds.OilFilled(volume="0.94", unit="L"))
    assert view(state, SETTINGS).circuits[0].cautions[0].startswith("The case is filled")


def test_a_hold_that_goes_on_keeps_what_was_typed_and_said_of_its_log() -> None:
    body = leak("low", 20, seconds=20)
    state = job(*opened("carrier-out"), body)
    ask = next(a for a in asks_of(room(state)[1]) if a.kind == "leak-log")
    values = {field.name: field.value for field in ask.fields}
    assert values["text"] == body.text
    assert values["relative_to"] == "gauge"
    assert values["resolution"] == "0.01 kPa"


def test_a_torque_done_again_place_by_place_takes_the_place_of_the_first_pull() -> None:
    wrong = torque("cover-off", 1, "18")
    again = [torque("cover-off", 1, "12", places=(place,)) for place in (1, 3, 2, 4)]
    assert steps_of(cover(wrong), "cover-off")[0] != "inside"
    assert steps_of(cover(wrong, *again[:3]), "cover-off")[0] != "inside"
    assert steps_of(cover(wrong, *again), "cover-off")[0] == "inside"


def test_a_functional_test_with_limits_is_held_against_its_value() -> None:
    text = text_of().replace(
        'expect = "a steady flow"', 'expect = "a steady flow"\nlow = "2 L/min"'
    )
    for value, word in (("2.5 L/min", "passed"), ("1.5 L/min", "outside"), ("", "outside")):
        done = kinds.FunctionTested(test="pump-flow", passed=True, value=value)
        lines = view(job(done, sheet=text), SETTINGS).functions
        assert next(one for one in lines if one.test.key == "pump-flow").word == word
