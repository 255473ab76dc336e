"""A reseal uses three rooms; the other five leave no mark, and no forty things "not done"."""

from __future__ import annotations

from pathlib import Path

import pytest

from casewright.book.book import book
from casewright.errors import FormErrors
from casewright.job.build import build
from casewright.job.gaps import gaps
from casewright.voice.glance import glance
from casewright.voice.rooms import document
from tests.journeys.bench import Bench, all_text, demo_state, demo_until, settings

ROOMS = ("strip", "proof", "handover")


def test_the_job_has_three_rooms_everywhere() -> None:
    state = demo_state("reseal")
    assert state.rooms == ROOMS
    assert {one.room for one in book(state, settings()).chapters} == set(ROOMS)
    (table,) = glance(state, settings()).document.sections[0].blocks
    assert len(table.rows) == 3  # type: ignore[union-attr]


def test_hand_over_asks_only_for_what_the_reseal_moved() -> None:
    needed = build(demo_state("reseal"))
    assert needed.readings == ()
    assert needed.packs == ()
    assert set(needed.torques) == {"input-cap-off", "box-off-foot"}
    assert needed.circuits == ("gear-oil",)
    assert {part.position for part in needed.parts} == {
        "box.input.seal", "box.input.cap-o-ring", "box.output.seal", "box.plug-gaskets",
    }  # fmt: skip


def test_at_the_end_nothing_is_open() -> None:
    state = demo_state("reseal")
    for room in ("proof", "handover"):
        assert document(room, state, settings(), with_map=False).card is None, room
    assert {part.word for part in build(state).parts} == {"fitted"}


def test_lash_is_never_spoken_of() -> None:
    said = all_text(document("handover", demo_state("reseal"), settings(), with_map=False)).lower()
    assert "lash" not in said


def test_before_the_new_seals_are_in_hand_over_names_each() -> None:
    state = demo_until("reseal", "piece-placed")
    words = {part.position: part.word for part in build(state).parts}
    assert words == dict.fromkeys(words, "missing")
    said = all_text(document("handover", state, settings(), with_map=False))
    for name in ("input shaft seal", "output shaft seal", "input cap O-ring"):
        assert name in said


def test_a_room_outside_the_scope_can_still_be_entered() -> None:
    for room in ("takein", "inspect", "cause", "order", "setup"):
        assert document(room, demo_state("reseal"), settings(), with_map=False).title


def test_a_reseal_is_signed_with_a_named_exception(tmp_path: Path) -> None:
    bench = Bench(tmp_path, "whelk-4").open(scope="reseal", rooms=ROOMS)
    bench.say("step-done", step="drain-oil")
    bench.say("step-done", step="coupling-off")
    bench.say(
        "fasteners-counted", joint="input-cap-off", places=[1, 2, 3, 4, 5, 6], fastener_state="out"
    )
    bench.say("step-done", step="input-cap-off")
    bench.say("step-done", step="input-seal-out")
    assert bench.room("handover").card is not None
    told = [{"item": "part: input shaft seal", "reason": "on its way, leg stays here"}]
    with pytest.raises(FormErrors, match="sealing test: gear oil space, low"):
        bench.say("signed-off", signed_by="AB", exceptions=told)
    open_gaps = [gap.item for gap in gaps(bench.state, build(bench.state), settings())]
    told += [
        {"item": item, "reason": "not before the seal is here"}
        for item in open_gaps if item != told[0]["item"]
    ]  # fmt: skip
    bench.say("signed-off", signed_by="AB", exceptions=told)
    assert "on its way" in bench.text("handover")


@pytest.mark.parametrize("room", ROOMS)
def test_it_speaks_in_the_units_of_its_sheet(room: str) -> None:
    said = all_text(document(room, demo_state("reseal"), settings(), with_map=False))
    assert "N·m" not in said
    assert " kPa" not in said
