"""Set-up: the sign walk, dry readings, the shelf, and the packs to fit."""

from __future__ import annotations

from casewright import __version__
from casewright.drive.schema import Adjuster
from casewright.phases.setup import DryLine, SeatLine, SetupView, Walk
from casewright.reasoning.shim_choice import ResponseForecast
from casewright.voice.document import Ask, Block, Cell, Facts, Field, Fold, Say, Section, Table
from casewright.voice.quantities import Style, say, say_chance, say_minutes
from casewright.voice.say_setup_words import (
    big,
    change_words,
    dry_says,
    occasion_words,
    seat_name,
    shim,
    sizes_text,
    thickness,
    walk_says,
)

SHELF_ROWS = 4
# Stages from which a person may take it apart for another trial.
OPENS = ("again", "stop", "stuck", "turn", "read", "final outside", "final pattern", "done")


def ask_sign(walk: Walk, style: Style, quiet: bool = False) -> Ask:
    """Yes or no to one adjuster's sentence; the sentence is kept with the answer."""
    return Ask(
        "sign-confirmed",
        big(walk.adjuster.name),
        "Record",
        (
            Field(
                "agreed", "Is it so on this leg?", "tap",
                choices=(("true", "Yes, it goes this way"), ("false", "No, the other way")),
                needed=True,
            ),
        ),
        {"adjuster": walk.adjuster.key, "says": walk_says(walk, style)},
        quiet=quiet,
    )  # fmt: skip


def sign_blocks(walk: Walk, style: Style) -> tuple[Block, ...]:
    """One adjuster: what more of it does, in one sentence, and where each figure is from."""
    rows = tuple((line.name, f"{line.source}: {line.note}") for line in walk.lines)
    sources = (Fold("Where the figures come from", (Facts(rows),)),) if rows else ()
    return (Say(big(walk_says(walk, style)) + ".", "lead"), *sources)


def signs_section(view: SetupView, style: Style) -> Section:
    """All adjusters with their signs, and what a disagreement asks for."""
    rows = tuple(
        (walk.adjuster.name, big(walk_says(walk, style)), _sign_cell(walk)) for walk in view.walks
    )
    blocks: list[Block] = [
        Table("", ("Adjuster", "What more of it does", "Confirmed"), rows,
              "no adjusters in the sheet: readings are kept, no pack is told")
    ]  # fmt: skip
    for walk in view.walks:
        if walk.against or walk.agreed is False:
            blocks.append(Say(_correct(walk), "bad"))
    sources = tuple(
        (f"{walk.adjuster.name} on {line.name}", f"{line.source}: {line.note}")
        for walk in view.walks
        for line in walk.lines
    )
    if sources:
        blocks.append(Fold("Where each figure comes from", (Facts(sources),)))
    again = tuple(ask_sign(walk, style) for walk in view.walks if not walk.against)
    if again:
        blocks.append(Fold("Answer again", again))
    return Section("signs", "Which way each adjuster goes", tuple(blocks))


def _sign_cell(walk: Walk) -> Cell:
    if walk.against:
        return Cell("the sheet contradicts itself", "bad")
    if walk.agreed is None:
        return Cell("not yet", "next")
    return Cell("yes", "good") if walk.agreed else Cell("no: nothing is told here", "bad")


def _correct(walk: Walk) -> str:
    name = walk.adjuster.name
    if walk.against:
        lines = ", ".join(line.name for line in walk.against)
        return (
            f"{big(name)}: the sheet's figure for {lines} has the other sign than where the pack "
            "sits. No pack is told here until the sheet is right: correct per_mm, or thicker_moves "
            "and thicker_makes, and adopt it again."
        )
    return (
        f"{big(name)}: you say that it goes the other way. No pack is told here. Look where it "
        "sits, correct thicker_moves or thicker_makes in the sheet, adopt it again, and confirm."
    )


def dry_asks(line: DryLine, style: Style) -> tuple[Block, ...]:
    """Old and new, the same gauge on the same dimension; or say that it can't be read."""
    field = _etched_field(line) if line.etched else Field(
        "values", "Read", "quantity", "length", style.unit("length"), needed=True,
        hint="the same gauge on old and new: its own error drops out",
    )  # fmt: skip
    blocks: list[Block] = []
    if line.old is None:
        fixed = {"target": line.key, "piece": f"in:{line.position}", "occasion": "as-found"}
        blocks.append(Ask("reading", f"Old piece: {line.name}", "Record the old", (field,), fixed))
    if line.new is None and line.new_piece:
        new: dict[str, object] = {"target": line.key, "occasion": "trial-1"}
        if not line.new_piece.startswith("new:"):
            new["piece"] = line.new_piece
        blocks.append(Ask("reading", f"New piece: {line.name}", "Record the new", (field,), new))
    if line.new is None and not line.new_piece:
        blocks.append(
            Ask(
                "piece-placed", "The new piece is here", "It is on the bench",
                (), {"piece": f"new:{line.position}", "position": line.position,
                     "occasion": "trial-1"},
            )
        )  # fmt: skip
    blocks.append(
        Ask("step-done", "It can't be read", "Go on without it", (),
            {"step": f"dry:{line.key}", "outcome": "skipped"}, quiet=True)
    )  # fmt: skip
    return tuple(blocks)


def _etched_field(line: DryLine) -> Field:
    """The number as etched; without a unit it counts as the sheet says."""
    if line.step is None:
        hint = "as etched, with sign and unit, like +0.05 mm; 0 where none is etched"
    else:
        hint = f"as etched, with its sign, like +5: each counts {line.step * 1e3:g} mm; 0 if none"
    return Field("values", "Etched number", "text", needed=True, hint=hint)


def dry_section(view: SetupView, style: Style) -> Section:
    """Dry readings, those worth most per minute first."""
    rows = tuple(
        (
            line.name,
            "" if line.old is None else say(line.old, "length", style),
            "" if line.new is None else say(line.new, "length", style),
            _dry_cell(line, style),
            say_minutes(line.minutes),
        )
        for line in view.dry
    )
    blocks: list[Block] = [
        Table("", ("Dimension", "Old", "New", "What it says", "Takes"), rows,
              "the sheet lists none")
    ]  # fmt: skip
    placed = tuple((name, "in" if piece else "not placed yet") for _, name, piece in view.replaced)
    blocks.insert(
        0,
        Say(
            "Only what is replaced is in doubt anew: " + ", ".join(n for n, _ in placed) + "."
            if placed
            else "Nothing that moves the gears is replaced: the old packs should still be right."
        ),
    )
    blocks += _etched_blocks(view)
    open_lines = [line for line in view.dry if line.old is None or line.new is None]
    asks = tuple(block for line in open_lines for block in dry_asks(line, style)
                 if isinstance(block, Ask) and block.kind == "reading")  # fmt: skip
    if asks:
        blocks.append(Fold("Record a dry reading", asks))
    return Section("dry", "First guess: old and new pieces", tuple(blocks))


def _etched_blocks(view: SetupView) -> list[Block]:
    """Etched numbers and how they count; a gap where the sheet only says that there is one."""
    reckoned = {line.adjuster for line in view.dry if line.etched}
    blocks: list[Block] = [
        Say(
            f"{big(line.name)}: one more calls for that much {'more' if line.sign > 0 else 'less'} "
            f"pack at the {seat_name(view, line.adjuster)}. Old and new each count by themselves."
        )
        for line in view.dry
        if line.etched
    ]
    for walk in view.walks:
        adjuster = walk.adjuster
        if adjuster.etched and adjuster.key not in reckoned:
            blocks.append(
                Say(
                    f"{big(adjuster.name)}, etched: {adjuster.etched}. Which way it counts isn't "
                    "in the sheet, so it isn't reckoned: say it below, or in dry_readings.", "gap",
                )
            )  # fmt: skip
            blocks.append(ask_etched(adjuster))
    return blocks


def ask_etched(adjuster: Adjuster) -> Ask:
    """Which way an etched number counts, asked at the bench with the manual in hand."""
    item: dict[str, object] = {
        "key": f"{adjuster.key}.etched", "name": f"etched number: {adjuster.etched}",
        "position": adjuster.moves, "adjuster": adjuster.key, "etched": True, "minutes": 1,
    }  # fmt: skip
    ways = (("1", "A larger number: more pack"), ("-1", "A larger number: less pack"))
    fields = (
        Field("item.step", "One of it counts", "choice", needed=True,
              choices=(("0.01 mm", "0.01 mm"), ("0.001 in", "0.001 in"), ("1 mm", "1 mm"))),
        Field("item.sign", "As the manual says", "tap", choices=ways, needed=True),
    )  # fmt: skip
    return Ask(
        "sheet-added", f"Which way the number counts: {adjuster.name}", "Record", fields,
        {"table": "dry_readings", "item": item},
    )  # fmt: skip


def _dry_cell(line: DryLine, style: Style) -> Cell:
    if line.difference is not None:
        return Cell(dry_says(line, style), "done")
    if line.skipped:
        return Cell("can't be read", "gap")
    if not line.replaced:
        return Cell("piece is kept: nothing to learn")
    if line.narrowing:
        return Cell(f"worth {line.narrowing:.2f} half windows of doubt", "next")
    return Cell("still open", "next")


def pack_asks(
    seat: SeatLine, occasion: str, style: Style, view: SetupView | None = None
) -> tuple[Ask, ...]:
    """Fitted as told, in one touch, with what told it; or what was fitted instead."""
    fixed: dict[str, object] = {"adjuster": seat.adjuster.key, "occasion": occasion}
    asks = []
    if seat.advised:
        told = tuple(f"{size * 1e3:.3f} mm" for size in seat.advised_sizes)
        asks.append(Ask("pack-fitted", big(seat.adjuster.name), "Fitted as told", (),
                        {**fixed, "shims": told, "gone_by": _gone_by(view, style)}))  # fmt: skip
    return (*asks, other_pack(seat, occasion, style))


def _gone_by(view: SetupView | None, style: Style) -> dict[str, object]:
    """The advice as a plain snapshot: the joint chance, and every response as it was forecast."""
    if view is None or view.plan is None or view.plan.advice is None:
        return {}
    best = view.plan.advice.best
    kinds = {line.response.key: line for line in view.lines}
    forecasts = {
        kinds[one.name].response.name: _forecast(one, kinds[one.name].limits.dimension, style)
        for one in best.forecasts
        if one.name in kinds
    }
    return {
        "name": "packs advised", "method": "best joint chance over all packs of the shelf",
        "inputs": {}, "outputs": forecasts, "chance": best.chance, "version": __version__,
    }  # fmt: skip


def _forecast(one: ResponseForecast, dimension: str, style: Style) -> str:
    """Mean and the 95 % interval, with its window's chance."""
    low, high = say(one.low, dimension, style), say(one.high, dimension, style)
    return f"{say(one.mean, dimension, style)}, {low} to {high}; {say_chance(one.chance)}"


def other_pack(seat: SeatLine, occasion: str, style: Style) -> Ask:
    """A form for the shims that really went in."""
    boxes = 1 if seat.adjuster.kind == "selective-spacer" else seat.adjuster.most_shims
    return Ask(
        "pack-fitted",
        f"{big(seat.adjuster.name)}: other shims, {occasion_words(occasion)}",
        "Record these",
        (
            Field("shims", "Each shim with its unit", "quantity", "length", "mm", needed=True,
                  boxes=boxes, hint="like 0.10 mm or .004 in, one a box; a bare number is mm"),
            Field("measured", "Each was measured with a micrometer", "yes"),
        ),
        {"adjuster": seat.adjuster.key, "occasion": occasion},
    )  # fmt: skip


def packs_section(view: SetupView, style: Style) -> Section:
    """Every seat with its packs by occasion, and what to fit."""
    rows = tuple(
        (
            seat.adjuster.name,
            sizes_text(seat.as_found.sizes, style) if seat.as_found else "not recorded",
            sizes_text(seat.now.sizes, style) if seat.now else "",
            _told(seat, view, style),
            sizes_text(seat.final.sizes, style) if seat.final else "",
        )
        for seat in view.seats
    )
    blocks: list[Block] = [
        Table("", ("Seat", "As found", "Fitted now", "To fit", "Final build"), rows,
              "no shim packs or spacers in the sheet")
    ]  # fmt: skip
    if view.plan and view.plan.trouble:
        blocks.append(Say(f"No packs can be chosen: {view.plan.trouble}", "bad"))
    occasion = "final" if view.stage.startswith("final") else view.occasion
    forms = tuple(other_pack(seat, occasion, style) for seat in view.seats)
    found = tuple(other_pack(s, "as-found", style) for s in view.seats if s.as_found is None)
    if found:
        blocks.append(Fold("Record a pack as found", found))
    if view.stage in OPENS:
        more = tuple(other_pack(seat, view.following, style) for seat in view.seats)
        title = f"Begin {occasion_words(view.following)} with packs of your own"
        blocks += [Fold(title, more)] if more else []
    if forms:
        blocks.append(Fold(f"Record other shims than told, {occasion_words(occasion)}", forms))
    return Section("packs", "Packs", tuple(blocks))


def _told(seat: SeatLine, view: SetupView, style: Style) -> Cell | str:
    if seat.why_not:
        return Cell(seat.why_not, "locked")
    if not seat.advised or view.stage.startswith("final") or view.stage in ("stop", "done"):
        return ""
    pack = sizes_text(seat.advised_sizes, style, seat.advised_total)
    return Cell(pack, "next", change_words(seat, style) if seat.now else "")


def shelf_section(view: SetupView, style: Style) -> Section:
    """The shelf as counted, less what sits in packs; and the form for a count."""
    rows = tuple(
        (size, measured or "as marked", counted, Cell(str(left), "" if left else "bad"))
        for size, measured, left, counted in view.shelf_rows
    )
    blocks: list[Block] = [
        Table("", ("Size", "Measures", "Counted", "Left"), rows,
              "not counted: every size of the sheet is taken as there")
    ]  # fmt: skip
    blocks.append(Fold("Count the shelf", (ask_shelf(view, style),)))
    return Section("shelf", "Shim shelf", tuple(blocks))


def ask_shelf(view: SetupView, style: Style) -> Ask:
    """One row for each size that the sheet knows, and a few more."""
    known = {row[0]: row for row in view.shelf_rows}
    sizes = dict.fromkeys(
        thickness(size.value, style) for seat in view.seats for size in seat.adjuster.sizes
    )
    names = list(known) or list(sizes)
    fields: list[Field] = []
    for index in range(len(names) + SHELF_ROWS):
        name = names[index] if index < len(names) else ""
        row = known.get(name)
        fields += [
            Field(f"lines.{index}.size", f"Size {index + 1}", "text", value=name),
            Field(f"lines.{index}.count", "How many", "number",
                  value=str(row[2]) if row else ("0" if name else "")),
            Field(f"lines.{index}.measured", "Measures, if a micrometer says so", "text",
                  value=row[1] if row else ""),
        ]  # fmt: skip
    return Ask("shelf-counted", "The shim shelf now", "Record the count", tuple(fields))


__all__ = [
    "ask_sign", "dry_asks", "dry_section", "pack_asks", "packs_section", "shelf_section", "shim",
    "sign_blocks", "signs_section",
]  # fmt: skip
