"""What a form posts becomes the body of an entry; empty boxes and rows are left out."""

from __future__ import annotations

from casewright.job.entry import Entry, body_of
from casewright.voice.forms import body_from
from tests.phases.cast import MOMENT


def made(kind: str, **posted: list[str]) -> dict[str, object]:
    body = body_from(kind, posted)
    body_of(Entry("some-entry-1", kind, body, "AB", MOMENT))
    return body


def test_several_boxes_and_several_lines_become_one_list() -> None:
    posted = {"fixed": ['{"target": "ahead-lash"}'], "values": ["0.41", "", "0.42; 0.43\n0.44"]}
    assert made("reading", **posted)["values"] == ["0.41", "0.42", "0.43", "0.44"]


def test_an_empty_box_takes_the_name_of_its_place_with_it() -> None:
    fixed = ['{"target": "ahead-lash", "at": ["12", "3", "6", "9"]}']
    body = made("reading", fixed=fixed, values=["0.41", " ", "0.42", ""])
    assert body["values"] == ["0.41", "0.42"]
    assert body["at"] == ["12", "6"]
    whole = made("reading", fixed=fixed, values=["0.41", "0.40", "0.42", "0.43"])
    assert whole["at"] == ["12", "3", "6", "9"]
    marks = ["0°", "90°", "180°", "270°"]
    shaft = ['{"target": "prop-shaft-run-out"}']
    some = made("reading", fixed=shaft, place=marks, values=["0.1", "", "0.2", "0.1"])
    assert some["at"] == ["0°", "180°", "270°"]
    assert "at" not in made("reading", fixed=shaft, place=marks, values=["0.1"] * 4)


def test_rows_are_built_from_numbered_names_and_empty_rows_are_dropped() -> None:
    posted = {
        "lines.0.size": ["0.10 mm"], "lines.0.count": ["4"],
        "lines.1.size": [""], "lines.1.count": [""],
        "lines.2.size": ["0.30 mm"], "lines.2.count": ["2"], "lines.2.measured": ["0.303 mm"],
    }  # fmt: skip
    assert made("shelf-counted", **posted)["lines"] == [
        {"size": "0.10 mm", "count": "4"},
        {"size": "0.30 mm", "count": "2", "measured": "0.303 mm"},
    ]


def test_a_field_that_the_kind_does_not_have_is_left_out() -> None:
    posted = {
        "words": ["hums"],
        "room": ["takein"],
        "csrfmiddlewaretoken": ["x"],
        "colour": ["blue"],
    }
    assert made("complaint", **posted) == {"words": "hums"}


def test_a_place_list_is_read_from_one_box_or_fixed() -> None:
    fixed = '{"joint": "cover-off", "places": [1, 2], "fastener_state": "out"}'
    assert made("fasteners-counted", fixed=[fixed])["places"] == [1, 2]
