"""Chords and threads over wires in the room: asked for, brought to size, judged, and refused."""

from __future__ import annotations

import json

import pytest

from casewright.errors import FormErrors
from casewright.job import kinds
from casewright.job.entry import Entry
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.phases.inspect import FeatureLine, view
from casewright.voice.document import Ask
from casewright.voice.forms import body_from
from casewright.voice.plain import as_plain
from casewright.voice.quantities import Style
from casewright.voice.say_inspect import say
from tests.phases.asks import asks_of, filled
from tests.phases.cast import MOMENT, SETTINGS
from tests.phases.gauged_cast import GEAR, PINION, SHAFT, gauged, read

FINE = kinds.InstrumentKnown(
    instrument="gear-tooth calliper 0.02", resolution="0.01 mm", uncertainty="0.01 mm"
)


def words(state: State, unit: str = "mm") -> str:
    return str(as_plain(say(view(state, SETTINGS), Style({"length": unit}))))


def line(state: State, key: str) -> FeatureLine:
    pieces = view(state, SETTINGS).pieces
    return next(one for piece in pieces for one in piece.features if one.feature.key == key)


def ask(state: State, key: str) -> Ask:
    found = asks_of(say(view(state, SETTINGS), Style()))
    return next(one for one in found if one.fixed.get("target") == key)


def entry(**body: object) -> Entry:
    return Entry("one", "reading", dict(body), "AB", MOMENT)


def test_a_low_tip_hides_wear_until_it_is_told() -> None:
    """6.05 as read is inside 5.80 to 6.20, and so seems well; on a tip 0.6 low it is proved out."""
    plain = line(gauged(FINE, read("chord", "6.05", "6.05", at_height="4.05 mm")), "chord")
    told = line(
        gauged(FINE, read("chord", "6.05", "6.05", at_height="4.05 mm", tip_low="0.60 mm")),
        "chord",
    )
    assert (plain.choice, told.choice) == ("use again", "replace")


def test_what_was_corrected_stands_with_its_working() -> None:
    text = words(gauged(FINE, read("chord", "6.05", at_height="4.20", tip_low="0.10 mm")))
    assert (
        "brought from 4.20 mm on a tip 0.10 mm low to the printed height of 4.05 mm: -0.1" in text
    )
    assert "chord grows, for one deeper" in text
    assert "height of the calliper" in text
    assert "at the printed height)" in text
    assert "dt/dh = 2 tan(α − q)" in text


def test_where_the_height_was_not_typed_the_printed_one_is_taken_and_said() -> None:
    text = words(gauged(FINE, read("chord", "6.05")))
    assert "the printed height of 4.05 mm is taken" in text
    assert "as high as new is taken" in text


def test_wires_make_a_pitch_diameter_and_everything_after_it_is_of_that() -> None:
    micrometer = kinds.InstrumentKnown(
        instrument="micrometer 0-25", resolution="0.001 mm", uncertainty="0.002 mm"
    )
    state = gauged(micrometer, read("thread", "24.302", "24.303", wire="1.1552"))
    text = words(state)
    assert line(state, "thread").choice == "use again"
    assert "over wires of 1.1552 mm brought to the pitch diameter: -1.734 mm" in text
    assert "22.569 ± " in text
    assert "wires of 1.1552 mm" in text
    assert "d2 = M − 3 w + 0.866025 P" in text
    thin = line(gauged(micrometer, read("thread", "24.200", wire="1.1552")), "thread")
    assert thin.choice == "replace"


def test_the_forms_ask_beside_the_reading_in_boxes_that_an_instrument_goes_through() -> None:
    state = gauged()
    chord, thread, bore = ask(state, "chord"), ask(state, "thread"), ask(state, "no-height")
    assert [f.name for f in chord.fields[:3]] == ["values", "at_height", "tip_low"]
    assert {f.kind for f in chord.fields[:3]} == {"quantity"}
    assert [f.name for f in thread.fields[:2]] == ["values", "wire"]
    assert thread.fields[1].kind == "quantity"
    assert "empty: the printed 4.05 mm" in chord.fields[1].hint
    assert "the sheet's 1.155 mm" in thread.fields[1].hint
    assert bore.fields[0].labels == ("tooth 1", "tooth 2", "tooth 3")


def test_a_filled_form_is_a_reading_whose_bare_numbers_share_the_units_button() -> None:
    state = gauged()
    posted = {
        "fixed": [json.dumps(dict(ask(state, "chord").fixed))], "values": [".2382", "", ""],
        "unit": ["in"], "at_height": [".1654"], "tip_low": [".004"],
    }  # fmt: skip
    body = body_from("reading", posted)
    made = kinds.Reading.model_validate(body)
    assert check_entry(state, Entry("one", "reading", body, "AB", MOMENT)) == ()
    text = words(gauged(FINE, made), "in")
    assert "brought from .1654 in on a tip .004 in low to the printed height of 4.05 mm" in text


def test_without_a_printed_height_standard_proportions_are_a_hint_and_never_a_limit() -> None:
    state = gauged(FINE, read("no-height", "7.30", "7.31", "7.30"))
    hint = ask(state, "no-height").fields[1].hint
    assert "not in the sheet" in hint and "an estimate" in hint
    text = words(state)
    assert "by standard proportions about 4.14 mm with a chord of 6.27 mm as new" in text
    assert "with long and short addenda about 5.74 mm with a chord of 7.39 mm as new" in text
    assert "The maker's blank may differ: never a limit." in text
    assert "Neither the sheet nor this reading".lower() in text.lower()
    found = line(state, "no-height")
    assert (found.limits.low, found.limits.high) == (pytest.approx(7.20e-3), None)
    assert line(state, "chord").guess is None


def test_a_thread_that_is_only_looked_at_stays_a_look() -> None:
    state = gauged()
    assert line(state, "seen").is_look
    assert not line(state, "thread").is_look


@pytest.mark.parametrize(
    ("body", "field", "said"),
    [
        ({"target": "chord", "at_height": "-4 mm"}, "at_height", "negative"),
        ({"target": "chord", "at_height": "0 mm"}, "at_height", "printed height"),
        ({"target": "chord", "tip_low": "-0.1 mm"}, "tip_low", "negative"),
        ({"target": "chord", "at_height": "deep"}, "at_height", "length"),
        ({"target": "chord", "at_height": "4.05 in"}, "at_height", "Check the unit"),
        ({"target": "chord", "at_height": "4.05 mm", "tip_low": "9"}, "tip_low", "deep"),
        ({"target": "chord", "at_height": "9.5 mm"}, "at_height", "lie on the flank"),
        ({"target": "chord", "at_height": "0.16", "unit": "mm"}, "at_height", "Is it in inches?"),
        ({"target": "chord", "wire": "1 mm"}, "wire", "not a thread"),
        ({"target": "thread", "at_height": "4 mm"}, "at_height", "not a tooth's chord"),
        ({"target": "thread", "wire": "0.5 mm"}, "wire", "best is 1.155 mm"),
        ({"target": "thread", "wire": "-1 mm"}, "wire", "negative"),
        ({"target": "seen", "wire": "1 mm"}, "wire", "which thread this is"),
    ],
)
def test_bad_input_is_refused_at_its_field_with_the_remedy(
    body: dict[str, str], field: str, said: str
) -> None:
    with pytest.raises(FormErrors) as caught:
        check_entry(gauged(), entry(values=["6.1 mm"], **body))
    errors = caught.value.by_field()
    assert set(errors) == {field}
    assert said.lower() in errors[field].lower()


@pytest.mark.parametrize(
    ("body", "field", "said"),
    [
        ({"target": "no-height", "values": ["7.3"], "at_height": "0.22", "unit": "mm"},
         "the calliper's height", "0.22 in"),
        ({"target": "chord", "values": ["6.1 mm"], "tip_low": "2 mm"}, "tip", "type it with its"),
        ({"target": "thread", "values": ["22.58 mm"], "wire": "1.155 mm"}, "thread", "or 0 as the"),
        ({"target": "thread", "values": ["22.58 mm"]}, "thread", "or 0 as the wire"),
    ],
)  # fmt: skip
def test_slips_are_asked_about_and_taken_once_confirmed(
    body: dict[str, object], field: str, said: str
) -> None:
    asked = check_entry(gauged(), entry(**body))
    assert any(field in one.because and said in one.because for one in asked)
    assert check_entry(gauged(), entry(**body, confirmed=True)) == ()


def test_no_question_is_asked_where_all_is_as_it_should_be() -> None:
    for body in (
        {"target": "chord", "values": ["6.05 mm"], "at_height": "4.10 mm", "tip_low": "0.1 mm"},
        {"target": "no-height", "values": ["7.3 mm"], "at_height": "5.7 mm"},
        {"target": "thread", "values": ["24.30 mm"]},
        {"target": "thread", "values": ["22.58 mm"], "wire": "0"},
    ):
        assert check_entry(gauged(), entry(**body)) == ()


def test_a_reading_in_the_log_that_was_never_checked_is_kept_and_said() -> None:
    state = gauged(read("chord", "6.05", at_height="9.5 mm"), read("thread", "24.3", wire="0.3"))
    text = words(state)
    assert "This reading can't be judged: at_height: got '9.5 mm'" in text
    assert "This reading can't be judged: wire: got '0.3'" in text


def test_a_tooth_and_a_thread_are_put_on_the_list_at_the_bench() -> None:
    state = gauged()
    found = [a for a in asks_of(say(view(state, SETTINGS), Style())) if a.kind == "sheet-added"]
    kinds_ = {a.fixed["item"].get("kind"): a for a in found}  # type: ignore[attr-defined]
    assert {"tooth", "thread", "run-out"} <= set(kinds_)
    for one in found:
        check_entry(state, filled(one))
    item = {"key": "bench-9", "name": "chord", "position": GEAR, "kind": "tooth"}
    for wrong, field in (
        ({"at_height": "9 mm", "high": "2 mm"}, "item.at_height"),
        ({"wire": "1 mm"}, "item.wire"),
        ({"kind": "thread", "thread": "M99y"}, "item.thread"),
    ):
        plain = {"table": "features", "item": {**item, **wrong}}
        with pytest.raises(FormErrors) as caught:
            check_entry(state, Entry("one", "sheet-added", plain, "AB", MOMENT))
        assert set(caught.value.by_field()) == {field}


def test_added_at_the_bench_a_chord_is_read_and_judged_like_one_of_the_sheet() -> None:
    added = kinds.SheetAdded(
        table="features",
        item={
            "key": "bench-9", "name": "pinion chord", "position": PINION, "kind": "tooth",
            "low": "6.00 mm", "at_height": "4.10 mm", "instrument": "gear-tooth calliper 0.02",
        },
    )  # fmt: skip
    state = gauged(FINE, added, read("bench-9", "6.30", at_height="4.20 mm"))
    found = line(state, "bench-9")
    assert found.choice == "use again"
    assert found.verdict is not None
    sized = found.verdict.measured.stands.sized
    assert sized is not None and sized.budget is not None
    assert 6.2e-3 < sized.budget.value < 6.3e-3


def test_the_instrument_is_weighed_with_its_height_and_wires() -> None:
    state = gauged(
        FINE, kinds.InstrumentKnown(
            instrument="micrometer 0-25", resolution="0.001 mm", uncertainty="0.002 mm"
        )
    )  # fmt: skip
    (tooth,) = [one for one in line(state, "chord").tools if one.instrument == FINE.instrument]
    assert tooth.measures_it
    assert tooth.uncertainty > 20e-6  # its practice scatter alone is 20 µm
    (thread,) = [one for one in line(state, "thread").tools if one.instrument == "micrometer 0-25"]
    assert thread.measures_it
    assert thread.uncertainty > 3 * 1.155e-6  # three wires of ± 2 µm
    assert SHAFT in {piece.position for piece in view(state, SETTINGS).pieces}
