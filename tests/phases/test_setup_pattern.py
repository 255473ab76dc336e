"""The seen pattern in set-up: tapped cells, typed middles, what it says, what it may never say."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from casewright.book.html import Page, render_document
from casewright.errors import FormErrors
from casewright.job import kinds
from casewright.job.entry import Entry
from casewright.job.kinds import Body, PatternSeen
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.phases import setup
from casewright.phases.setup.pattern import PatternLine
from casewright.voice import say_setup
from casewright.voice.document import Ask, Document, Field, Fold, Picture, Table
from casewright.voice.draw_tap import TARGET
from casewright.voice.forms import body_from
from casewright.voice.plain import texts
from casewright.voice.quantities import Style
from casewright.voice.terminal import show
from tests.phases.cast import MOMENT, SETTINGS, job, sheet_text
from tests.phases.test_setup import FOUND, MM, rebuilt

AHEAD = "lower.ahead-mesh"
MIDDLE = ("3-2", "4-2", "3-3", "4-3")
HEEL = ("5-2", "6-2", "5-3", "6-3")


def seen(**told: Any) -> PatternSeen:
    return PatternSeen(mesh=AHEAD, **({"occasion": "trial-1"} | told))


def ahead(*bodies: Body, sheet: str = "winkle-3") -> PatternLine:
    state = job(*bodies, sheet=sheet)
    return next(x for x in setup.view(state, SETTINGS).patterns if x.mesh == AHEAD)


def said(*bodies: Body, sheet: str = "winkle-3", style: Style = MM) -> Document:
    return say_setup.say(setup.view(job(*bodies, sheet=sheet), SETTINGS), style)


def words(*bodies: Body, **given: Any) -> str:
    return "\n".join(texts(said(*bodies, **given)))


def inside(document: Document, kind: type) -> Iterator[Any]:
    """Blocks of a kind in the pattern section, folded ones too."""

    def walk(blocks: Any) -> Iterator[Any]:
        for block in blocks:
            if isinstance(block, kind):
                yield block
            if isinstance(block, Fold):
                yield from walk(block.blocks)

    (section,) = (one for one in document.sections if one.key == "pattern")
    return walk(section.blocks)


# ---- recording ---------------------------------------------------------------------------------


def tapped(document: Document) -> Ask:
    return next(a for a in inside(document, Ask) if a.fixed.get("grid") and AHEAD in str(a.fixed))


def test_cells_tapped_on_the_form_become_an_entry_that_the_job_takes() -> None:
    ask = tapped(said())
    posted = {
        "fixed": ['{"mesh": "lower.ahead-mesh", "occasion": "trial-1", "grid": "6x4"}'],
        "drive_cells": list(MIDDLE),
        "coast_cells": ["4-3"],
        "words": [""],
    }
    body = body_from(ask.kind, posted)
    assert body["drive_cells"] == list(MIDDLE)
    assert body["coast_cells"] == ["4-3"]
    assert check_entry(job(), Entry("pattern-0001", ask.kind, body, "AB", MOMENT)) == ()


def test_an_entry_from_before_cells_reads_as_it_did() -> None:
    line = ahead(seen(drive_along=46, drive_up=52, coast_along=55, coast_up=50))
    assert line.drive.marks is None
    assert line.drive.patch is not None and line.drive.patch.along == pytest.approx(0.46)
    assert line.drive.patch.along_doubt == pytest.approx(0.10)


@pytest.mark.parametrize(
    ("told", "field", "says"),
    [
        ({"drive_cells": ("7-1",)}, "drive_cells", "1-1 (toe, root) to 6-4"),
        ({"coast_cells": ("1-5",)}, "coast_cells", "outside the tooth"),
        ({"drive_cells": ("0-1",)}, "drive_cells", "a cell of the tooth"),
        ({"drive_cells": ("3-2",), "drive_along": 40.0, "drive_up": 50.0}, "drive_cells", "both"),
        ({"drive_along": 40.0}, "drive_up", "how far up"),
        ({}, "drive_cells", "at least"),
        ({"drive_cells": ("3-2",), "mesh": "no-such-mesh"}, "mesh", "meshes"),
    ],
)
def test_what_cannot_be_on_a_tooth_is_refused_by_name(
    told: dict[str, Any], field: str, says: str
) -> None:
    body = {"mesh": AHEAD, "occasion": "trial-1"} | told
    with pytest.raises(FormErrors) as caught:
        check_entry(job(), Entry("pattern-0002", "pattern-seen", body, "AB", MOMENT))
    assert field in caught.value.by_field()
    assert says in str(caught.value)


def test_a_pattern_that_was_wiped_nowhere_is_told_in_words() -> None:
    body = {"mesh": AHEAD, "occasion": "trial-1", "words": "no compound was wiped"}
    assert check_entry(job(), Entry("pattern-0003", "pattern-seen", body, "AB", MOMENT)) == ()
    assert "gives no direction" in words(seen(words="no compound was wiped"))


# ---- the picture to tap ------------------------------------------------------------------------


def fields(document: Document) -> tuple[Field, Field]:
    drive, coast, *_ = tapped(document).fields
    return drive, coast


@pytest.mark.parametrize("sheet", ["winkle-3", "whelk-4"])
def test_every_cell_of_the_tooth_is_big_enough_for_a_glove(sheet: str) -> None:
    document = said(sheet=sheet)
    asks = [a for a in inside(document, Ask) if "grid" in a.fixed]
    assert asks
    for ask in asks:
        for field in ask.fields[:2]:
            picture = field.picture
            assert picture is not None and len(picture.cells) == 24
            assert min(c.tall for c in picture.cells) / 100 * picture.least >= TARGET - 0.5
            assert min(c.wide for c in picture.cells) / 100 * 292 >= 48  # in folds, 390 px wide
            for cell in picture.cells:
                assert cell.left >= 0 and cell.left + cell.wide <= 100.01
                assert cell.top >= -0.01 and cell.top + cell.tall <= 100.01


def test_heel_and_toe_change_hands_from_the_drive_to_the_coast_flank() -> None:
    """Two sides of one tooth, each looked at with its top up."""
    drive, coast = fields(said())
    assert drive.picture is not None and coast.picture is not None
    assert (drive.picture.edges[3], drive.picture.edges[1]) == ("toe", "heel")
    assert (coast.picture.edges[3], coast.picture.edges[1]) == ("heel", "toe")
    across = {c.value: c.left for c in drive.picture.cells}
    assert across["1-1"] < across["6-1"]
    back = {c.value: c.left for c in coast.picture.cells}
    assert back["1-1"] > back["6-1"]
    top = {c.value: c.top for c in drive.picture.cells}
    assert top["3-4"] < top["3-1"]
    labels = dict(drive.choices)
    assert labels["6-4"] == "at the heel, at the top"
    assert len(set(labels.values())) == 24


def test_the_pictures_turn_as_the_gear_lies_on_the_bench() -> None:
    other = kinds.SettingMade(name=f"pattern-heel.{AHEAD}", value="left")
    drive, coast = fields(said(other))
    assert drive.picture is not None and coast.picture is not None
    assert drive.picture.edges[3] == coast.picture.edges[1] == "heel"
    assert {v for v, _ in drive.choices} == {v for v, _ in fields(said())[0].choices}


def test_the_tooth_is_drawn_to_scale_and_tapers_to_the_toe() -> None:
    """Depth by hand, ISO 23509: module 72.8/28 = 2.6 mm, working depth 2 modules at most."""
    drive, _ = fields(said())
    picture = drive.picture
    assert picture is not None and picture.to_scale
    assert 0.8 * 2 * 2.6 / 11 * 0.75 < picture.ratio < 2 * 2.6 / 11
    tall = {c.value: c.tall for c in picture.cells}
    cone = 72.8 / 2 / np.sin(np.arctan2(28, 13))
    toe, heel = cone - 11 * 11 / 12, cone - 11 / 12  # middles of the first and the last column
    # A depth in proportion to the cone distance; uniform clearance makes it a little steeper.
    assert tall["1-2"] / tall["6-2"] == pytest.approx(toe / heel, rel=0.08)


def test_the_page_has_real_tick_boxes_each_with_its_words() -> None:
    page = str(render_document(said(), Page(can_ask=True)))
    boxes = re.findall(r'<label class="cell"[^>]*><input type="checkbox" name="drive_cells"', page)
    assert len(boxes) == 24 * 2  # two meshes
    assert "<span>near the heel, above the middle</span>" in page


# ---- what it says ------------------------------------------------------------------------------


def test_a_tapped_patch_is_drawn_and_said_with_its_doubt() -> None:
    text = words(seen(drive_cells=MIDDLE, coast_cells=HEEL))
    assert "middle 50 ± 12 % from toe to heel, 50 ± 14 % from root to top" in text
    assert "wiped from 67 to 100 % along and 25 to 75 % up, out to the heel" in text
    picture = next(iter(inside(said(seen(drive_cells=MIDDLE, coast_cells=HEEL)), Picture)))
    assert picture.svg.count('fill="url(#tapped)"') == 8
    assert picture.svg.count('fill="url(#wiped)"') == 2
    assert "as seen" in picture.title and "Drawn flanks" in picture.alt


def test_marks_that_lie_apart_give_no_direction() -> None:
    line = ahead(seen(drive_cells=("1-2", "6-2"), coast_cells=("1-3", "6-3")))
    assert line.statement is None and not line.veto
    assert "2 places that lie apart" in words(seen(drive_cells=("1-2", "6-2")))


def test_a_direction_comes_with_its_wide_interval_and_never_with_shims() -> None:
    text = words(seen(drive_cells=HEEL, coast_cells=HEEL))
    assert "at the heel, its middle between 71 and 95 % along (19 times in 20): move it in" in text
    assert "No shims from this pattern: it takes a first pattern and two trials" in text
    assert ahead(seen(drive_cells=HEEL, coast_cells=HEEL)).moves is None


def test_the_final_build_is_not_done_while_its_pattern_speaks_against_it() -> None:
    bodies, stages = rebuilt()
    assert stages[-1] == "stop"
    view = setup.view(job(*bodies), SETTINGS)
    packs = {b.adjuster: b for b in bodies if isinstance(b, kinds.PackFitted)}
    final = [b.model_copy(update={"occasion": "final"}) for b in packs.values()]
    reads = [
        b.model_copy(update={"occasion": "final"})
        for b in bodies
        if isinstance(b, kinds.Reading) and b.occasion == view.occasion
    ]
    built = [*bodies, *final, *reads]
    assert setup.view(job(*built), SETTINGS).stage == "done"
    against = seen(occasion="final", drive_cells=HEEL, coast_cells=HEEL)
    assert setup.view(job(*built, against), SETTINGS).stage == "final pattern"
    card = said(*built, against).card
    assert card is not None and "speaks against it" in card.title
    good = seen(occasion="final", drive_cells=MIDDLE, coast_cells=MIDDLE)
    assert setup.view(job(*built, against, good), SETTINGS).stage == "done"


# ---- shims, only by known moves ----------------------------------------------------------------

# Shares of the tooth for 1 mm out, invented: (drive along, drive up, coast along, coast up).
PINION, GEAR = (0.2, 1.6, -0.1, 1.5), (1.4, -0.3, 1.5, -0.4)


def trial(number: int, pinion: float, gear: float) -> list[Body]:
    """Packs that move the members out by so many mm from the old ones, and the pattern then seen.

    The height pack lifts the pinion out; the ahead pack pushes its gear in (the sheet's words).
    """
    height, pack = 0.55 + pinion, 0.40 - gear
    occasion = f"trial-{number}"
    base = (0.45, 0.5, 0.45, 0.5)
    at = [100 * (b + p * pinion + g * gear) for b, p, g in zip(base, PINION, GEAR, strict=True)]
    return [
        kinds.PackFitted(adjuster="height-pack", occasion=occasion, shims=(f"{height:.3f} mm",)),
        kinds.PackFitted(adjuster="ahead-pack", occasion=occasion, shims=(f"{pack:.3f} mm",)),
        seen(occasion=occasion, drive_along=at[0], drive_up=at[1], coast_along=at[2],
             coast_up=at[3]),
    ]  # fmt: skip


LEARNING = [*trial(1, 0, 0), *trial(2, 0.1, 0), *trial(3, 0.1, 0.1)]


def test_two_known_moves_are_asked_for_one_by_one_and_then_give_shims() -> None:
    one = words(*FOUND, *trial(1, 0, 0))
    assert "one of the pinion, one of the gear. There are 1." in one
    same = words(*FOUND, *trial(1, 0, 0), *trial(2, 0.1, 0), *trial(3, 0.2, 0))
    assert "move the gear alone" in same
    line = ahead(*FOUND, *LEARNING)
    assert line.learned is not None and line.moves is not None
    assert line.learned.matrix[:, 0] / 1e3 == pytest.approx(PINION, abs=1e-6)
    assert line.learned.matrix[:, 1] / 1e3 == pytest.approx(GEAR, abs=1e-6)
    assert "trials with known moves taught on this leg: pinion" in words(*FOUND, *LEARNING)


def test_what_was_learned_is_kept_for_the_family_as_lines_of_its_sheet() -> None:
    """The lines that the page writes, pasted into the sheet, serve the next leg with one pattern."""
    text = words(*FOUND, *LEARNING)
    (lines,) = re.findall(r"pattern_moves = \[.*\]", text)
    head = 'key = "lower.ahead-mesh"\n'
    assert head in sheet_text()
    sheet = sheet_text().replace(head, f"{head}{lines}\n")
    pattern = seen(drive_cells=HEEL, coast_cells=HEEL)
    line = ahead(pattern, sheet=sheet)
    assert line.learned is None and line.moves is not None
    assert line.moves.gear < 0  # at the heel: the gear goes in
    assert line.moves.gear_deviation > 0
    assert "taught on legs of this family (by the sheet): " in words(pattern, sheet=sheet)
    assert ahead(seen(drive_cells=HEEL), sheet=sheet).moves is None  # one flank is not enough


def test_what_earlier_legs_of_the_sheet_taught_serves_this_one() -> None:
    """Invented legs: one moved the pinion alone, one the gear alone; this one was only looked at."""
    pattern = seen(drive_cells=HEEL, coast_cells=HEEL)
    pinion = job(*FOUND, *trial(1, 0, 0), *trial(2, 0.1, 0))
    gear = job(*FOUND, *trial(1, 0, 0), *trial(2, 0, 0.1))
    state = job(pattern)

    def line(*family: State) -> PatternLine:
        view = setup.view(state, replace(SETTINGS, family=family))
        return next(x for x in view.patterns if x.mesh == AHEAD)

    assert line().moves is None and line(pinion).moves is None
    found = line(pinion, gear)
    assert found.learned is not None and found.moves is not None
    assert found.learned.matrix[:, 1] / 1e3 == pytest.approx(GEAR, abs=1e-6)
    assert found.moves.gear < 0  # at the heel: the gear goes in
    assert "on 2 earlier legs of this sheet" in found.taught
    # A sheet whose gears have other teeth teaches nothing here.
    other = sheet_text().replace("gear_teeth = 28", "gear_teeth = 31")
    assert other != sheet_text()
    strange = [job(*FOUND, *trial(n, 0, 0), *trial(n + 1, p, g), sheet=other)
               for n, p, g in ((1, 0.1, 0), (1, 0, 0.1))]  # fmt: skip
    assert line(*strange).moves is None


def test_one_member_in_the_sheet_is_not_enough_for_shims() -> None:
    row = ('pattern_moves = [ { member = "gear", drive_along = 1.4, drive_up = 0.0, '
           "coast_along = 1.4, coast_up = 0.0, doubt = 0.3, trials = 3 } ]\n")  # fmt: skip
    head = 'key = "lower.ahead-mesh"\n'
    sheet = sheet_text().replace(head, head + row)
    assert ahead(seen(drive_cells=HEEL, coast_cells=HEEL), sheet=sheet).moves is None


# ---- what to expect ----------------------------------------------------------------------------


def gallery(document: Document) -> Table:
    return next(t for t in inside(document, Table) if "Drive flank" in t.columns)


def test_the_gallery_tells_in_words_what_one_shim_does() -> None:
    """Directions of TM 10-3930-653-14P p. 4-181: gear out, heel and more lash; pinion out, high."""
    rows = {str(row[0]): [str(cell) for cell in row[1:]] for row in gallery(said()).rows}
    assert set(rows) == {
        "As drawn", "Pinion 0.100 mm out", "Pinion 0.100 mm in", "Gear 0.100 mm out",
        "Gear 0.100 mm in",
    }  # fmt: skip
    for flank in (0, 1):
        assert "higher" in rows["Pinion 0.100 mm out"][flank]
        assert "lower" in rows["Pinion 0.100 mm in"][flank]
        assert "to the heel" in rows["Gear 0.100 mm out"][flank]
        assert "to the toe" in rows["Gear 0.100 mm in"][flank]
    assert rows["Gear 0.100 mm out"][2].startswith("+")
    assert rows["Gear 0.100 mm in"][2].startswith("-") or "−" in rows["Gear 0.100 mm in"][2]


def test_the_gallery_stands_in_page_terminal_and_book(capsys: pytest.CaptureFixture[str]) -> None:
    from rich.console import Console

    document = said(style=Style({"length": "in", "torque": "in·lb"}))
    title = next(f.title for f in inside(document, Fold) if "What to expect" in f.title)
    assert " in more or less" in title
    show(document, Console(width=200))
    shown = capsys.readouterr().out
    assert title in shown and "Drawn flanks, gear" in shown
    for page in (Page(can_ask=True), Page(can_ask=False)):  # the shop's page, and the HTML book
        text = str(render_document(document, page))
        assert title in text and "Drawn flanks, gear" in text


def centroid(spots: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    """Of a polygon, by the shoelace sum."""
    area = across = up = 0.0
    for (x0, y0), (x1, y1) in zip(spots, (*spots[1:], spots[0]), strict=True):
        part = x0 * y1 - x1 * y0
        area, across, up = area + part, across + (x0 + x1) * part, up + (y0 + y1) * part
    return across / 3 / area, up / 3 / area


def test_a_drawn_patch_has_its_middle_where_its_outline_has_it() -> None:
    """Second method: the outline's own centroid; the outline runs through the last wiped points."""
    gallery = ahead().gallery
    assert gallery is not None
    for one in gallery.pictures:
        for look in (one.drive, one.coast):
            assert look is not None
            along, up = centroid(look.outline)
            assert look.along == pytest.approx(along, abs=0.05)
            assert look.up == pytest.approx(up, abs=0.05)


def test_the_gallery_draws_the_path_inside_its_patch_and_tells_the_transmission_error() -> None:
    line = ahead()
    assert line.gallery is not None
    drawn = line.gallery.pictures[0]
    assert drawn.drive is not None and len(drawn.drive.path) >= 5
    ups = [up for _, up in drawn.drive.path]
    # The driving pinion's root meets the gear's top first: the path runs down or up, never turns.
    steps = np.diff(ups)
    assert (steps <= 1e-3).all() or (steps >= -1e-3).all()
    # Straight crowned flanks in place: some micrometres, and the coast side is its mirror image.
    assert 0 < drawn.drive.error < 20e-6
    assert drawn.coast is not None and drawn.coast.error == pytest.approx(
        drawn.drive.error, rel=0.02
    )
    tables = [one for one in inside(said(), Table) if "Transmission error" in one.columns[-1]]
    assert len(tables) == 2 and all(" mm, " in row[-1] for one in tables for row in one.rows)
