"""Set-up: the contact pattern, tapped on a tooth picture, and what to expect of it."""

from __future__ import annotations

from typing import Literal

from casewright.mechanics.contact_cells import GRID
from casewright.mechanics.contact_pattern import Direction
from casewright.phases.setup import Computed, Gallery, PatternLine, SetupView, heel_setting
from casewright.voice.document import Ask, Block, Facts, Field, Fold, Say, Section, Table
from casewright.voice.draw_contact import (
    expected_picture,
    gallery_picture,
    heel_left,
    seen_picture,
    where,
    where_seen,
)
from casewright.voice.draw_tap import tap_picture
from casewright.voice.quantities import Style, say, say_change, say_pm
from casewright.voice.say_setup_words import big, occasion_words

CAUTION = "Turn by hand only, engine and battery locked out, fingers clear of the teeth."
SAYS = {"agrees": "agrees", "disagrees": "disagrees", "silent": "says nothing"}
SAME = 0.02  # share of the tooth below which a drawn patch is said to stay


def pattern_section(view: SetupView, style: Style) -> Section | None:
    """What the compound shows, flank by flank, and what it may say."""
    if not view.patterns:
        return None
    blocks: list[Block] = [
        Say(
            "A second witness beside height and lash: it gives a direction and can forbid to stop. "
            "It gives shims only by known moves that were seen on this leg or its family."
        )
    ]
    for line in view.patterns:
        blocks += _mesh(line, style)
        blocks.append(_record(line, view))
        blocks += _gallery(line, style)
    return Section("pattern", "Contact pattern", tuple(blocks))


# ---- what was seen ---------------------------------------------------------------------------


def _mesh(line: PatternLine, style: Style) -> list[Block]:
    if line.seen is None:
        return []
    blocks: list[Block] = [seen_picture(line), Facts(_rows(line), _heading(line))]
    if line.statement is not None:
        words = line.witness.words if line.witness else line.statement.words
        stop = " It forbids to stop." if line.veto else ""
        text = f"{big('; '.join(words))}.{stop}"
        blocks.append(Say(text, "bad" if line.veto else "plain"))
    else:
        blocks.append(Say("No middle was told: the pattern gives no direction.", "unsure"))
    return blocks + _shims(line, style)


def _heading(line: PatternLine) -> str:
    assert line.seen is not None
    return f"{big(line.name)}, {occasion_words(line.seen.body.occasion)}"


def _rows(line: PatternLine) -> tuple[tuple[str, str], ...]:
    assert line.seen is not None
    rows = [("Drive flank", where_seen(line.drive)), ("Coast flank", where_seen(line.coast))]
    if line.statement is not None:
        rows += [(f"Points at the {d.member}", _direction(d)) for d in line.statement.directions]
    if line.witness is not None:
        pinion, gear = (SAYS[said] for said in (line.witness.pinion, line.witness.gear))
        rows.append(
            ("Beside height and lash",
             f"{pinion} about the pinion, {gear} about the gear")
        )  # fmt: skip
    if line.seen.body.words:
        rows.append(("In words", line.seen.body.words))
    return tuple(rows)


def _direction(one: Direction) -> str:
    """A direction with the wide interval that it stands on."""
    way = "along" if one.finding.startswith("at") else "up"
    low, high = max(0.0, one.low), min(1.0, one.high)
    return (
        f"{one.finding}, its middle between {100 * low:.0f} and {100 * high:.0f} % {way} "
        f"(19 times in 20): move it {one.move}"
    )


def _shims(line: PatternLine, style: Style) -> list[Block]:
    """Moves where known moves taught them; else what to do so that they are taught."""
    blocks: list[Block] = []
    if line.moves is not None:
        parts = (
            ("pinion", line.moves.pinion, line.moves.pinion_deviation),
            ("gear", line.moves.gear, line.moves.gear_deviation),
        )
        said = [
            f"{member} {say_pm(abs(size), doubt, 'length', style)} {'out' if size > 0 else 'in'}"
            for member, size, doubt in parts
        ]
        blocks.append(Say(f"By what {line.taught}: {', '.join(said)}.", "estimate"))
    if line.learned is not None:
        blocks.append(Fold("Keep this for the leg family", (Say(_for_the_sheet(line)),)))
    elif line.learning and line.moves is None:
        blocks.append(Say(f"No shims from this pattern: {line.learning}"))
    return blocks


def _for_the_sheet(line: PatternLine) -> str:
    """The lines of a drive sheet that carry what was learned to the next leg."""
    learned = line.learned
    assert learned is not None
    names = ("drive_along", "drive_up", "coast_along", "coast_up")
    rows = []
    for index, member in enumerate(("pinion", "gear")):
        rates = ", ".join(
            f"{name} = {learned.matrix[row, index] / 1e3:.2f}" for row, name in enumerate(names)
        )
        doubt = float(learned.covariance[index + 1, index + 1]) ** 0.5 / 1e3
        rows.append(
            f'{{ member = "{member}", {rates}, doubt = {doubt:.2f}, trials = {learned.trials} }}'
        )
    return (
        "The next job on this sheet uses it by itself. For another shop, under the mesh "
        f"{line.mesh} of the drive sheet, in shares of the tooth for 1 mm out: "
        f"pattern_moves = [ {', '.join(rows)} ]"
    )


# ---- what to expect --------------------------------------------------------------------------


def _gallery(line: PatternLine, style: Style) -> list[Block]:
    if line.gallery is None:
        return [Say(f"{big(line.gallery_gap)}.", "gap")]
    note = Say(
        f"From drawn flanks, {line.gallery.assumed}. True flanks are the maker's and differ: "
        "published tables agree on the ways in this list, not on what else the pictures show. "
        "Hatched: wiped; the line with dots: path of contact.",
        "estimate",
    )
    named = [_named(one, line.gallery, style) for one in line.gallery.pictures]
    pictures = tuple(gallery_picture(line, one) for one in named)
    step = say(line.gallery.shim, "length", style)
    title = f"What to expect for {step} more or less, {line.name}"
    return [Fold(title, (note, _expected(named, style), *pictures))]


def _named(one: Computed, gallery: Gallery, style: Style) -> Computed:
    step = say(gallery.shim, "length", style)
    return Computed(one.title.replace("one shim", step), one.drive, one.coast, one.lash)


def _expected(pictures: list[Computed], style: Style) -> Table:
    """The gallery in words: where each flank's patch goes, and what the lash does."""
    drawn = pictures[0]
    rows = tuple(
        (
            big(one.title), _goes(one, drawn, "drive"), _goes(one, drawn, "coast"),
            say_change(one.lash - drawn.lash, "length", style) if one is not drawn else "as drawn",
            _uneven(one, style),
        )
        for one in pictures
    )  # fmt: skip
    columns = (
        "Moved", "Drive flank", "Coast flank", "Lash at the teeth",
        "Transmission error at the teeth, drive and coast",
    )  # fmt: skip
    return Table("", columns, rows)


def _uneven(one: Computed, style: Style) -> str:
    """How unevenly the gear turns, peak to peak over a tooth, as arc at its mean radius."""
    places = 5 if style.unit("length") == "in" else 4
    return ", ".join(
        say(look.error, "length", style, places) if look else "no patch"
        for look in (one.drive, one.coast)
    )


def _goes(one: Computed, drawn: Computed, flank: Literal["drive", "coast"]) -> str:
    """Where a patch goes, in the one way that all published tables agree on for this member."""
    look, first = getattr(one, flank), getattr(drawn, flank)
    if look is None:
        return "no patch"
    if first is None or one is drawn:
        return where((look.along, look.up))
    if one.title.startswith("gear"):
        return _way(look.along - first.along, "to the heel", "to the toe")
    return _way(look.up - first.up, "higher on the gear", "lower on the gear")


def _way(change: float, more: str, less: str) -> str:
    return "stays" if abs(change) < SAME else (more if change > 0 else less)


# ---- what is recorded ------------------------------------------------------------------------


def _record(line: PatternLine, view: SetupView) -> Fold:
    expected = expected_picture(line)
    blocks: list[Block] = [
        Say("Tap each square from which the compound is wiped, or draw over them with a finger."),
        *([expected] if expected else []),
        ask_pattern(line, view),
        Fold("Type the middles instead", (ask_typed(line, view),)),
        _ask_hand(line),
    ]
    return Fold(f"Record the pattern of the {line.name}", tuple(blocks))


def ask_pattern(line: PatternLine, view: SetupView) -> Ask:
    """Wiped cells on both flanks of the gear's tooth."""
    flanks = tuple(
        Field(
            f"{flank}_cells", f"{big(flank)} flank of the gear", "patch",
            choices=tuple((cell.value, cell.label) for cell in picture.cells), picture=picture,
            hint=_hint(line, flank),
        )
        for flank in ("drive", "coast")
        for picture in (tap_picture(line, flank),)
    )  # fmt: skip
    words = Field("words", "In words", "text", hint="light brake, how many teeth were painted")
    return Ask(
        "pattern-seen", f"{big(line.name)}: the patch on the gear", "Record", (*flanks, words),
        {"mesh": line.mesh, "occasion": view.standing, "grid": f"{GRID[0]}x{GRID[1]}"},
        caution=CAUTION,
    )  # fmt: skip


def _hint(line: PatternLine, flank: str) -> str:
    hand = "left" if heel_left(line, flank) else "right"
    scale = "" if line.gallery else " Not to scale: the sheet has no size of this gear."
    return f"Top up, heel to your {hand}; the working part of the flank, from top to root.{scale}"


def ask_typed(line: PatternLine, view: SetupView) -> Ask:
    """Centres of the marked patches in per cent of the gear's tooth."""
    along = "0 toe, 50 middle, 100 heel"
    up = "0 root, 50 middle, 100 top"
    fields = (
        Field("drive_along", "Drive flank: along", "number", hint=along),
        Field("drive_up", "Drive flank: up", "number", hint=up),
        Field("coast_along", "Coast flank: along", "number", hint=along),
        Field("coast_up", "Coast flank: up", "number", hint=up),
        Field("words", "In words", "text", hint="light brake, how many teeth were painted"),
    )
    return Ask(
        "pattern-seen", f"{big(line.name)}: middle of the patch on the gear", "Record",
        fields, {"mesh": line.mesh, "occasion": view.standing}, caution=CAUTION,
    )  # fmt: skip


def _ask_hand(line: PatternLine) -> Ask:
    """Turn the pictures as the gear lies on this bench."""
    hands = (("left", "Heel to the left"), ("right", "Heel to the right"))
    return Ask(
        "setting", f"{big(line.name)}, drive flank, looked at with its top up", "Turn the pictures",
        (Field("value", "On which hand the heel lies", "tap", choices=hands),),
        {"name": heel_setting(line.mesh)},
    )  # fmt: skip
