"""The picture of a sealing test: both curves, limit, ceiling and cut spans, each with its words."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

from casewright.voice.draw_leak import LeakPicture, draw_leak
from casewright.voice.quantities import Style

STYLE = Style({"pressure": "kPa", "temperature": "°C"})


def shown(**more: object) -> LeakPicture:
    seconds = [float(t) for t in range(0, 610, 10)]
    gauge = [70e3 - 3 * t for t in seconds]
    plain: dict[str, object] = {
        "seconds": seconds, "gauge": gauge, "corrected": [70e3 - t for t in seconds],
        "kelvin": [295.0 - t / 300 for t in seconds], "used": [True] * len(seconds),
        "limit_slope": 7000 / 600, "ceiling": 110e3, "title": "gear oil space",
    }  # fmt: skip
    return LeakPicture(**(plain | more))  # type: ignore[arg-type]


def words(picture: LeakPicture) -> list[str]:
    root = ElementTree.fromstring(draw_leak(picture, STYLE).svg)
    return [text.text or "" for text in root.iter("{http://www.w3.org/2000/svg}text")]


def test_curves_and_limit_have_their_words_beside_them() -> None:
    found = words(shown())
    assert {"gauge as read", "at first temperature", "the sheet's limit", "minutes"} <= set(found)
    assert "ceiling: stop" not in found


def test_the_ceiling_is_drawn_when_the_pressure_comes_near_it() -> None:
    assert "ceiling: stop" in words(shown(gauge=[112e3] * 61, corrected=[112e3] * 61))


def test_turned_spans_are_hatched_and_named() -> None:
    used = [not 20 <= row < 25 for row in range(61)]
    picture = draw_leak(shown(used=used), STYLE)
    assert "url(#leak-cut)" in picture.svg
    assert "shaft turned: cut" in words(shown(used=used))


def test_the_same_is_said_in_words_for_whoever_cannot_see_it() -> None:
    alt = draw_leak(shown(), STYLE).alt
    # 7 kPa in 600 s at the limit: from 70 to 63 kPa.
    assert "from 70.00 kPa to 68.20 kPa" in alt
    assert "at the sheet's limit would have ended at 63.00 kPa" in alt


def test_a_vacuum_rises_towards_the_atmosphere_and_never_past_it() -> None:
    seconds = [0.0, 6000.0]
    alt = draw_leak(
        shown(seconds=seconds, gauge=[-35e3, -30e3], corrected=[-35e3, -30e3], kelvin=[],
              used=[True, True]),
        STYLE,
    ).alt  # fmt: skip
    assert "ended at 0.00 kPa" in alt


def test_nothing_is_said_by_colour() -> None:
    svg = draw_leak(shown(), STYLE).svg
    assert not re.findall(r"(?<![&(])#[0-9a-fA-F]{3,6}\b", svg)
    assert "currentColor" in svg


def test_labels_at_the_ends_do_not_lie_on_each_other() -> None:
    root = ElementTree.fromstring(draw_leak(shown(corrected=shown().gauge), STYLE).svg)
    ends = ("gauge as read", "at first temperature", "the sheet's limit")
    texts = root.iter("{http://www.w3.org/2000/svg}text")
    heights = sorted(float(t.attrib["y"]) for t in texts if t.text in ends)
    assert all(low + 13 <= high for low, high in pairwise(heights))
