"""Slips at the shim drawer: thicknesses that no shim has, old and new readings far apart."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.drive.schema import Adjuster, DryReading
from casewright.errors import CasewrightError, InputError
from casewright.job import kinds
from casewright.job.limits import values_of
from casewright.job.state import AS_FOUND, State
from casewright.units import Question, parse

# Thicker than so many times the sheet's thickest is a slip of unit; where the sheet has no sizes,
# thicker than this [m]: both assumed.
TIMES, THICKEST = 10.0, 0.05
# A shim is off its mark by micrometres; this much is another size [m]: assumed.
OFF_MARK = 5e-5
# Old and new pieces of one leg differ by tenths of a millimetre at most [m]: assumed.
DRY_MOST = 1e-3


def wrong_shims(state: State, body: kinds.PackFitted) -> Iterator[InputError]:
    """Thicknesses that can't be, and more than one piece where one is selected."""
    adjuster = state.lookup.adjusters.get(body.adjuster)
    most = _most([adjuster] if adjuster else [])
    for text in body.shims:
        yield from _thickness("shims", text, most)
    # What came in is recorded as it was: an earlier repair may have stacked what isn't stacked.
    fitted = body.occasion not in AS_FOUND
    if fitted and adjuster and adjuster.kind == "selective-spacer" and len(body.shims) > 1:
        yield InputError("shims", ", ".join(body.shims), "one piece", "A spacer isn't stacked.")


def wrong_shelf(state: State, body: kinds.ShelfCounted) -> Iterator[InputError]:
    """Sizes that can't be, and measured ones that belong to another size."""
    most = _most(state.lookup.sheet.adjusters)
    for index, line in enumerate(body.lines):
        wrong = list(_thickness(f"lines.{index}.size", line.size, most))
        if line.measured:
            wrong += _thickness(f"lines.{index}.measured", line.measured, most)
        yield from wrong or _off_mark(index, line.size, line.measured)


def _off_mark(index: int, size: str, measured: str) -> Iterator[InputError]:
    if not measured:
        return
    marked, found = (parse(text, "length", "mm").value for text in (size, measured))
    if abs(found - marked) > max(OFF_MARK, 0.1 * marked):
        yield InputError(
            f"lines.{index}.measured", measured, f"near the {size} that is marked",
            "Count it under the size that it has.",
        )  # fmt: skip


def _most(adjusters: list[Adjuster] | tuple[Adjuster, ...]) -> float:
    sizes = [size.value for adjuster in adjusters for size in adjuster.sizes]
    return TIMES * max(sizes) if sizes else THICKEST


def _thickness(field: str, text: str, most: float) -> Iterator[InputError]:
    try:
        value = parse(text, "length", "mm", field).value
    except InputError as error:
        yield error
        return
    if not 0 < value <= most:
        expected = f"a thickness above 0 and up to {most * 1e3:g} mm"
        yield InputError(field, text, expected, "Check the sign and the unit.")


def dry_questions(state: State, body: kinds.Reading, dry: DryReading) -> Iterator[Question]:
    """Old and new far apart: asked, since the difference goes into the pack as it is."""
    before = _read_before(state, dry)
    if dry.etched or before is None:
        return
    for text in body.values:
        off = parse(text, "length", body.unit).value - before
        if abs(off) > DRY_MOST:
            because = (
                f"{dry.name}: {text} is {off * 1e3:+.2f} mm off the {before * 1e3:.3f} mm read "
                "before, and the difference goes into the pack. If it is right, say so; else type "
                "it again."
            )
            yield Question("values", text, because)


def _read_before(state: State, dry: DryReading) -> float | None:
    for kept in reversed(state.readings_of(dry.key)):
        try:
            return values_of(state, kept)[0]
        except CasewrightError:
            continue
    return None
