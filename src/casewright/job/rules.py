"""What may follow what: refuse what isn't possible, question what is odd, before an entry is taken.

Refusals name every field that isn't right, in one pass. Questions can be answered with "it is
right" (`confirmed`); nothing is swallowed and nothing is lost.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from pydantic import ValidationError

from casewright.drive.gauged import wrong_gauged
from casewright.drive.meaning import wrong_along, wrong_limits
from casewright.drive.schema import PACKED, DryReading
from casewright.errors import EntryRefusedError, FormErrors, InputError
from casewright.job import gauged, kinds
from casewright.job.additions import item_of
from casewright.job.bench_rules import (
    all_moved,
    angles_readable,
    differs,
    far_out,
    instrument_readable,
    swings,
    warmth_asked,
)
from casewright.job.build import build
from casewright.job.entry import Entry, body_of, check_time
from casewright.job.gaps import gaps
from casewright.job.gauge_sums import added_by, etched_value, gauge_of
from casewright.job.kinds import Body
from casewright.job.limits import dimension_of, plausible, target_name
from casewright.job.pattern_rules import pattern_on_tooth
from casewright.job.settings import Settings
from casewright.job.shim_rules import dry_questions, wrong_shelf, wrong_shims
from casewright.job.state import State
from casewright.job.strip_rules import attempt_possible, chance_readable, step_possible
from casewright.job.trade_rules import TRADE_CHECKS
from casewright.job.turn_settings import wrong_setting
from casewright.job.volumes import mistakes as volume_mistakes
from casewright.units import Question, parse, question


def check_entry(
    state: State, entry: Entry, settings: Settings | None = None
) -> tuple[Question, ...]:
    """Raise where the entry can't be taken as the job stands; else what to ask about it first.

    `settings` tell which causes count as likely, when a build is signed off.
    """
    check_time(entry.happened_at, "happened_at")
    if not entry.who.strip():
        raise InputError("who", entry.who, "the name of who says it", "Type your name or initials.")
    if entry.kind not in kinds.BODIES:
        raise EntryRefusedError(f"{entry.kind!r} is no kind of entry that this Casewright makes")
    body = body_of(entry)
    _check_order(state, entry, body)
    checks: tuple[Check, ...] = _CHECKS.get(body.KIND, ())
    if body.KIND in TRADE_CHECKS:
        checks = (*checks, TRADE_CHECKS[body.KIND])
    mistakes = [m for check in checks for m in check(state, body)]
    if isinstance(body, kinds.SignedOff):
        mistakes += _unnamed(state, body, settings or Settings(today=""))
    if mistakes:
        # The same slip in four boxes is told once.
        raise FormErrors(body.KIND, {m.sentence(): m for m in mistakes}.values())
    confirmed = bool(getattr(body, "confirmed", False))
    return () if confirmed else tuple(dict.fromkeys(_questions(state, body)))


def _check_order(state: State, entry: Entry, body: Body) -> None:
    if state.opened is None and body.KIND != "job-opened":
        raise EntryRefusedError("this job isn't open yet; its first entry is job-opened")
    if state.opened is not None and body.KIND == "job-opened" and not entry.supersedes:
        raise EntryRefusedError("this job is open already; correct that entry instead")
    if state.sheet is None and body.KIND in _NEEDS_SHEET:
        raise EntryRefusedError("adopt a drive sheet first: this entry points into it")


_NEEDS_SHEET = {"reading", "fasteners-counted", "pack-fitted", "verdict", "torque", "leak-log"}
Check = Callable[[State, Any], Iterator[InputError]]


def _known(field: str, key: str, known: Mapping[str, object], what: str) -> Iterator[InputError]:
    if key and key not in known:
        near = ", ".join(list(known)[:8]) or "none yet"
        yield InputError(
            field, key, f"one of the sheet's {what} ({near})", "Or add it to this job."
        )


def _position(state: State, body: Any) -> Iterator[InputError]:
    yield from _known("position", body.position, state.lookup.positions, "positions")


def _joint(state: State, body: Any) -> Iterator[InputError]:
    yield from _known("joint", body.joint, state.lookup.joints, "joints")


def _mesh(state: State, body: Any) -> Iterator[InputError]:
    yield from _known("mesh", body.mesh, state.lookup.meshes, "meshes")


def _adjuster(state: State, body: Any) -> Iterator[InputError]:
    yield from _known("adjuster", body.adjuster, state.lookup.adjusters, "adjusters")


def _reading(state: State, body: kinds.Reading) -> Iterator[InputError]:
    dimension = dimension_of(state, body.target)
    if dimension is None:
        yield InputError("target", body.target, "a feature, response or dry reading of this job")
        return
    for text in body.values:
        try:
            found = _typed(state, body, text, dimension)
        except InputError as error:
            yield InputError("values", text, error.expected, error.remedy)
            continue
        if found < 0 and not _may_be_negative(state, body):
            yield InputError("values", text, "a size that isn't negative", "Check the sign.")
    yield from _quantity("constant", body.constant, "length", "mm")
    yield from gauged.mistakes(state, body)
    if body.as_shown and gauge_of(state, body.target) is None:
        yield InputError("as_shown", body.target, "a response of the sheet that has a gauge")
    yield from wrong_setting(state, body)
    if body.at and len(body.at) != len(body.values):
        yield InputError(
            "at", f"{len(body.values)} read", f"one reading at each of {', '.join(body.at)}",
            "Read the places that are missing, in the order of the boxes.",
        )  # fmt: skip
    yield from angles_readable(state, body)
    yield from _quantity("temperature", body.temperature, "temperature", "°C")
    yield from _quantity("gauge_temperature", body.gauge_temperature, "temperature", "°C")
    yield from _quantity("hours", body.hours, "time", "h")
    yield from _piece(state, body)


def _piece(state: State, body: Any) -> Iterator[InputError]:
    """What is said of a piece that nobody knows would be said to nobody."""
    if body.piece and body.piece not in state.pieces:
        yield InputError("piece", body.piece, "a piece known to this job", "Add the piece first.")


def _found(state: State, body: kinds.Found) -> Iterator[InputError]:
    yield from _known("feature", body.feature, state.lookup.features, "features")


def _typed(state: State, body: kinds.Reading, text: str, dimension: str) -> float:
    """One value as typed [SI]."""
    dry = state.lookup.dry_readings.get(body.target)
    if dry is not None and dry.etched:
        return etched_value(dry, text, body.unit)
    return parse(text, dimension, body.unit, target_name(state, body.target)).value


def _may_be_negative(state: State, body: kinds.Reading) -> bool:
    dry = state.lookup.dry_readings.get(body.target)
    if body.as_shown or (dry is not None and dry.etched):
        return True
    response = state.lookup.responses.get(body.target)
    signed = response is not None and response.kind in ("pinion-height", "end-play", "preload")
    return signed or swings(state, body)


def _explained(state: State, body: kinds.Photographed) -> Iterator[InputError]:
    """An explanation belongs to a photograph of this job, and says something."""
    if not body.explains:
        return
    if body.explains not in {kept.id for kept in state.photos}:
        yield InputError("explains", body.explains, "a photograph of this job")
    if not (body.about or body.position or body.damage):
        yield InputError("about", "", "what the photograph shows")


def _added(state: State, body: kinds.SheetAdded) -> Iterator[InputError]:
    """What is added has to be whole, and new; every mistake named at its field."""
    try:
        item = item_of(body.table, body.item)
    except ValidationError as error:
        for one in error.errors():
            # The path runs table, number, field, and on inside of a field.
            name = ".".join(["item", *(str(step) for step in one["loc"][2:])])
            said = one["msg"].removeprefix("Value error, ").removeprefix("expected ")
            yield InputError(name, one.get("input"), said.rstrip("."))
        return
    known = {one.key for one in getattr(state.lookup.sheet, body.table) if hasattr(one, "key")}
    if getattr(item, "key", None) in known:
        yield InputError("item.key", item.key, "a key that isn't taken", "Load the page again.")
    if body.table == "features":
        yield from _known("item.position", item.position, state.lookup.positions, "positions")
        for name, words in (*wrong_limits(item), *wrong_along(item), *wrong_gauged(item)):
            found = getattr(item, name)
            given = ", ".join(map(str, found)) if isinstance(found, tuple) else str(found or "")
            yield InputError(f"item.{name}", given, words.removeprefix("expected "))


def _quantity(field: str, text: str, dimension: str, unit: str = "") -> Iterator[InputError]:
    if text:
        try:
            parse(text, dimension, unit, field)
        except InputError as error:
            yield error


def _counted(state: State, body: kinds.FastenersCounted) -> Iterator[InputError]:
    joint = state.lookup.joints.get(body.joint)
    most = joint.fasteners.count if joint and joint.fasteners else 0
    for place in body.places:
        if joint and not 1 <= place <= most:
            yield InputError("places", place, f"a place from 1 to {most}")


def _pack(state: State, body: kinds.PackFitted) -> Iterator[InputError]:
    yield from wrong_shims(state, body)
    yield from wrong_setting(state, body)
    if not body.shims and not body.setting:
        adjuster = state.lookup.adjusters.get(body.adjuster)
        if adjuster and adjuster.kind not in PACKED:
            yield InputError("setting", "", "the setting of this adjuster, like 18 N·m or 2 turns")


def _torque(state: State, body: kinds.Torqued) -> Iterator[InputError]:
    yield from _quantity("value", body.value, "torque", body.unit)
    joint = state.lookup.joints.get(body.joint)
    steps = len(joint.fasteners.torque_steps) if joint and joint.fasteners else 0
    if steps and body.step > steps:
        yield InputError("step", body.step, f"a step from 1 to {steps}")
    for name in ("wrench_length", "adapter_length"):
        yield from _quantity(name, getattr(body, name), "length", "mm")
    yield from _quantity("adapter_angle", body.adapter_angle, "angle", "°")


def _limit(state: State, body: kinds.LimitAdded) -> Iterator[InputError]:
    dimension = dimension_of(state, body.target)
    if dimension is None:
        yield InputError("target", body.target, "a feature or response of this job")
        return
    if not body.low and not body.high:
        yield InputError("low", "", "at least one limit", "Type a low or a high limit.")
    wrong = [m for name in ENDS for m in _quantity(name, getattr(body, name), dimension)]
    yield from wrong or _wrong_way_round(state, body, dimension)


ENDS = ("low", "high")


def _wrong_way_round(state: State, body: kinds.LimitAdded, dimension: str) -> Iterator[InputError]:
    """A lower limit above the upper one; an end that isn't typed stays as it is in the sheet."""
    known = plausible(state, body.target) if body.target in state.lookup.features else (None, None)
    typed = [getattr(body, name) for name in ENDS]
    low, high = (
        parse(text, dimension).value if text else end
        for text, end in zip(typed, known, strict=True)
    )
    if low is not None and high is not None and low >= high:
        name = "low" if body.low else "high"
        yield InputError(name, getattr(body, name), "the lower limit below the upper one")


def _oil(state: State, body: kinds.OilFilled) -> Iterator[InputError]:
    yield from _quantity("volume", body.volume, "volume", body.unit)
    yield from _quantity("rested", body.rested, "time", "min")


def _leak(state: State, body: kinds.LeakLogged) -> Iterator[InputError]:
    yield from _known("circuit", body.circuit, state.lookup.circuits, "circuits")
    if not body.text.strip():
        yield InputError("text", "", "the log: time and pressure, one reading a line")


def _unnamed(state: State, body: kinds.SignedOff, settings: Settings) -> Iterator[InputError]:
    """Open gaps that the signature doesn't name as exceptions with their reason."""
    named = {exception.item for exception in body.exceptions}
    found = gaps(state, build(state), settings.with_job(state.settings))
    for gap in found if state.sheet is not None else ():
        if gap.item not in named:
            yield InputError(
                "exceptions", gap.item, f"it closed, or named with a reason ({gap.why})",
                "Close it, or sign again with this exception named.",
            )  # fmt: skip


def _entry_ids(state: State, body: Any) -> Iterator[InputError]:
    if state.count == 0:
        yield InputError("entry", getattr(body, "entry", ""), "an entry of this job's log")


_CHECKS: Mapping[str, tuple[Check, ...]] = {
    "sheet-added": (_added,),
    "reading": (_position, _reading),
    "finding": (_position, _found, _piece),
    "note": (_position,),
    "photo": (_position, _explained),
    "verdict": (_position, _piece),
    "piece-known": (_position,),
    "piece-placed": (_position,),
    "fasteners-counted": (_joint, _counted),
    "attempt": (_joint, attempt_possible),
    "step-done": (step_possible,),
    "setting": (chance_readable,),
    "torque": (_joint, _torque),
    "pack-fitted": (_adjuster, _pack),
    "sign-confirmed": (_adjuster,),
    "shelf-counted": (wrong_shelf,),
    "pattern-seen": (_mesh, pattern_on_tooth),
    "limit-added": (_limit,),
    "instrument": (instrument_readable,),
    "leak-log": (_leak,),
    "oil-filled": (_oil,),
    "withdrawn": (_entry_ids,),
    "calculation": (volume_mistakes,),
}


def _questions(state: State, body: Body) -> Iterator[Question]:
    """Readings far off what the sheet leads one to expect are asked about by name."""
    if not isinstance(body, kinds.Reading):
        return
    yield from warmth_asked(body)
    dry = state.lookup.dry_readings.get(body.target)
    if dry is not None:
        yield from _etched_question(state, body, dry)
        yield from dry_questions(state, body, dry)
        return
    dimension = dimension_of(state, body.target) or "length"
    low, high = plausible(state, body.target)
    if body.as_shown and (added := added_by(state, body)):
        yield from _shown_questions(state, body, dimension, added)
        return
    yield from gauged.questions(state, body)
    name = target_name(state, body.target)
    if differs(state, body):
        typed, name = [all_moved(body, dimension)], f"{name}, largest less smallest"
    else:
        typed = [parse(text, dimension, body.unit) for text in body.values]
    asked = [one for reading in typed if (one := question(reading, low, high, name))]
    yield from asked or far_out(state, body)


ETCHED_MOST = 1e-3


def _etched_question(state: State, body: kinds.Reading, dry: DryReading) -> Iterator[Question]:
    """An etched deviation of a millimetre and more is a slip of unit."""
    for text in body.values if dry.etched else ():
        if abs(etched_value(dry, text, body.unit)) >= ETCHED_MOST:
            because = (
                f"{dry.name}: {text} would be {etched_value(dry, text, body.unit) * 1e3:+.2f} mm. "
                "Etched numbers are hundredths of a millimetre or thousandths of an inch."
            )
            yield Question("values", text, because)


def _shown_questions(
    state: State, body: kinds.Reading, dimension: str, added: float
) -> Iterator[Question]:
    """What a gauge shows, judged with its constant; and a constant that was added by hand."""
    low, high = plausible(state, body.target)
    name = target_name(state, body.target)
    for text in body.values:
        typed = parse(text, dimension, body.unit)
        inside = low is not None and high is not None and low <= typed.value <= high
        if inside and not low <= typed.value + added <= high:  # type: ignore[operator]
            because = (
                f"{name}: {text} lies in the window already, and {added * 1e3:+.4f} mm is added to "
                "what the gauge shows. Type what the gauge shows, without its constant."
            )
            yield Question("values", text, because)
        elif asked := question(
            replace(typed, value=typed.value + added, bare=False), low, high, name
        ):
            yield asked
