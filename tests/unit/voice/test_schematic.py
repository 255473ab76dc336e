"""The map: every shaft has a place of its own, every placed position its symbol and its name."""

from __future__ import annotations

from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.drive.schema import Shaft
from casewright.voice.schematic import DOWN, axes_of, place_of, schematic
from tests.phases.cast import job

SHEETS = ("winkle-3", "whelk-4", "skeleton-leg-under-a-hull", "skeleton-twin-gear-leg")


@given(st.lists(st.sampled_from(("vertical", "horizontal")), max_size=6))
def test_no_shaft_lies_on_another_and_all_are_on_the_drawing(ways: list[str]) -> None:
    shafts = [
        Shaft(key=f"s{at}", name="s", unit="u", axis=way)  # type: ignore[arg-type]
        for at, way in enumerate(ways)
    ]
    axes, height = axes_of(shafts)
    spans = [(one.y, one.y + (DOWN if one.vertical else 0)) for one in axes.values()]
    assert len(spans) == len(shafts)
    for (_, end), (start, _) in pairwise(spans):
        assert start > end
    assert all(end < height for _, end in spans)


@pytest.mark.parametrize("sheet", SHEETS)
def test_each_placed_position_is_drawn_and_named(sheet: str) -> None:
    state = job(sheet=sheet)
    drawn = ElementTree.fromstring(schematic(state).svg)
    said = [one.text for one in drawn.iter() if one.tag.endswith(("title", "text"))]
    for position in state.lookup.sheet.positions:
        if position.on and position.along is not None:
            assert said.count(position.name) >= 2, position.key


def test_with_words_for_places_the_map_names_these_and_the_gears() -> None:
    state = job(sheet="winkle-3")
    seat = state.lookup.adjusters["ahead-pack"].position
    picture = schematic(state, here=seat, tags={seat: "0.43 → 0.50 mm"})
    drawn = ElementTree.fromstring(picture.svg)
    words = [one.text or "" for one in drawn.iter() if one.tag.endswith("text")]
    assert any(one.startswith("▶") and one.endswith("0.43 → 0.50 mm") for one in words)
    assert "ahead gear" in words and "carrier O-ring" not in words
    assert "0.43 → 0.50 mm" in picture.alt


@pytest.mark.parametrize("sheet", SHEETS)
def test_whatever_a_card_is_about_has_its_place(sheet: str) -> None:
    state = job(sheet=sheet)
    lookup = state.lookup
    for key in (*lookup.positions, *lookup.joints, *lookup.adjusters):
        assert place_of(state, key) in lookup.positions, key
    for response in lookup.sheet.responses:
        found = place_of(state, response.key)
        assert found in lookup.positions or not (response.mesh or response.shaft), response.key
    assert place_of(state, "no such thing") == place_of(state, "") == ""


def test_a_joint_is_framed_where_one_of_its_pieces_is_drawn() -> None:
    state = job(sheet="winkle-3")
    assert place_of(state, "ring-nut-off") == "lower.carrier.ring-nut"
    assert state.lookup.positions[place_of(state, "carrier-out")].along is not None
