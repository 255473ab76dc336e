"""Every room works on a half-filled sheet, and says what each gap costs."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from casewright.job.kinds import ROOMS
from casewright.job.state import State
from casewright.voice.document import Cell, Document, Fold, Say, Table
from casewright.voice.rooms import document
from tests.journeys.bench import Bench, all_text, settings

SKELETONS = ("skeleton-twin-gear-leg", "skeleton-single-gear-box", "skeleton-leg-under-a-hull")
VALUE = {"turning-torque": "1.2 N·m", "preload": "1.2 N·m", "twist": "1 °", "hardness": "58"}


def gaps(said: Document) -> list[str]:
    """Everything that a document marks as missing from the sheet."""
    return [text for section in said.sections for block in section.blocks for text in _gaps(block)]


def _gaps(block: Any) -> list[str]:
    if isinstance(block, Say) and block.tone == "gap":
        return [block.text]
    if isinstance(block, Table):
        cells = [cell for row in block.rows for cell in row]
        marked = [c.text for c in cells if isinstance(c, Cell) and c.hatch == "gap"]
        return marked + [c for c in cells if isinstance(c, str) and "not in the sheet" in c]
    if isinstance(block, Fold):
        return [text for inner in block.blocks for text in _gaps(inner)]
    return []


def worked(bench: Bench) -> Bench:
    """A job that has done a bit of everything that a skeleton allows."""
    sheet = bench.state.lookup.sheet
    for joint in sheet.joints:
        if joint.fasteners:
            places = list(range(1, joint.fasteners.count + 1))
            bench.say("fasteners-counted", joint=joint.key, places=places, fastener_state="out")
    for joint in sheet.joints[:6]:
        bench.say("step-done", step=joint.key)
    bench.say("step-done", step=sheet.joints[6].key, outcome="stuck")
    for target in (*sheet.features, *sheet.responses):
        value = VALUE.get(target.kind, "0.40 mm")
        occasion = "trial-1" if target in sheet.responses else "as-found"
        bench.say("reading", target=target.key, values=[value] * 3, occasion=occasion)
    for adjuster in sheet.adjusters:
        if adjuster.kind == "shim-pack":
            bench.say("pack-fitted", adjuster=adjuster.key, occasion="trial-1", shims=["0.30 mm"])
    joint = next(j for j in sheet.joints if j.fasteners)
    bench.say("torque", joint=joint.key, value="20", unit="N·m")
    text = "\n".join(f"{minute}, {20 - 0.01 * minute:.2f}, 20.0" for minute in range(6))
    bench.say(
        "leak-log", circuit=sheet.circuits[0].key, test="low", relative_to="gauge",
        text="time [min], pressure [kPa gauge], wall [degC]\n" + text,
    )  # fmt: skip
    bench.say("oil-filled", volume="0.9 L")
    return bench


@pytest.fixture(scope="module", params=SKELETONS)
def states(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> list[State]:
    """A fresh job and a worked one on a skeleton."""
    folder: Path = tmp_path_factory.mktemp(request.param)
    bench = Bench(folder, request.param).open()
    fresh = bench.state
    return [fresh, worked(bench).state]


@pytest.mark.parametrize("room", ROOMS)
def test_every_room_works_on_a_skeleton(states: list[State], room: str) -> None:
    for state in states:
        said = document(room, state, settings())
        assert said.sections
        assert all_text(said).strip()


@pytest.mark.parametrize("room", ["inspect", "setup", "proof"])
def test_the_rooms_that_judge_say_what_is_missing(states: list[State], room: str) -> None:
    found = gaps(document(room, states[1], settings(), with_map=False))
    assert found, f"{room} doesn't say that the sheet has no limits"


def test_no_verdict_is_made_up_from_nothing(states: list[State]) -> None:
    from casewright.job.verdicts import piece_verdicts

    by_rule = {"the sheet's rule", "AB"}
    assert {verdict.by for verdict in piece_verdicts(states[1]).values()} <= by_rule


@pytest.mark.parametrize("room", ROOMS)
def test_every_room_works_without_any_sheet(room: str) -> None:
    said = document(room, State(), settings())
    assert said.sections or said.card


def test_the_gap_closes_when_the_limit_is_typed(tmp_path: Path) -> None:
    bench = worked(Bench(tmp_path, SKELETONS[0]).open())
    before = len(gaps(bench.room("inspect")))
    for feature in bench.state.lookup.sheet.features:
        if feature.kind in ("diameter", "bore"):
            bench.say("limit-added", target=feature.key, low="0.3 mm", high="0.5 mm", source="p. 1")
    assert len(gaps(bench.room("inspect"))) < before
