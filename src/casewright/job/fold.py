"""state = fold(entries): pure, one pass to see what counts, one to add it up."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from casewright.drive.load import load
from casewright.drive.schema import DriveSheet
from casewright.errors import CasewrightError, FormErrors
from casewright.job import kinds
from casewright.job.additions import with_additions
from casewright.job.entry import FIRST, Accepted, body_of, is_known
from casewright.job.kinds import Body, Slot
from casewright.job.state import Conflict, Kept, KeptReading, Piece, State


def fold(entries: Iterable[Accepted]) -> State:
    """The state that a log adds up to. Entries come in sequence order; cost is linear in them."""
    log = list(entries)
    build = _Build()
    counting = _understood(log, build)
    standing, conflicts = _standing(counting)
    for accepted, body in standing:
        _HANDLERS[body.KIND](build, _kept(accepted, body))
    return build.frozen(log[-1].hash if log else FIRST, len(log), conflicts)


@dataclass
class _Build:
    """The state while it is being added up; frozen at the end."""

    values: dict[str, Any] = field(default_factory=dict)
    lists: dict[str, list[Any]] = field(default_factory=dict)
    maps: dict[str, dict[str, Any]] = field(default_factory=dict)
    nested: dict[str, dict[str, dict[Any, Any]]] = field(default_factory=dict)
    additions: list[Kept[kinds.SheetAdded]] = field(default_factory=list)
    raw_readings: list[Kept[kinds.Reading]] = field(default_factory=list)
    oddities: list[str] = field(default_factory=list)
    unknown: list[Accepted] = field(default_factory=list)

    def frozen(self, head: str, count: int, conflicts: tuple[Conflict, ...]) -> State:
        """The state; the sheet gets what was added at the bench, readings get their pieces."""
        sheet: DriveSheet | None = self.values.pop("sheet", None)
        if sheet is not None:
            limits = self.maps.get("limits_added", {})
            sheet, odd = with_additions(sheet, self.additions, list(limits.values()))
            self.oddities += odd
        pieces = {f"in:{p.key}": _came_in(p) for p in sheet.positions} if sheet else {}
        pieces |= self.maps.pop("pieces", {})
        fields: dict[str, Any] = dict(self.values)
        fields |= {name: tuple(items) for name, items in self.lists.items()}
        fields |= {name: MappingProxyType(items) for name, items in self.maps.items()}
        fields |= {name: _sealed(items) for name, items in self.nested.items()}
        fields |= {"unknown": tuple(self.unknown), "oddities": tuple(self.oddities)}
        fields |= {"added": tuple(self.additions)}
        fields |= {"sheet": sheet, "pieces": MappingProxyType(pieces), "conflicts": conflicts}
        state = State(head=head, count=count, **fields)
        return _with_readings(state, self.raw_readings)


def _came_in(position: Any) -> Piece:
    return Piece(f"in:{position.key}", position.key, position.part, "came in")


def _sealed(items: dict[str, dict[Any, Any]]) -> Any:
    return MappingProxyType({key: MappingProxyType(inner) for key, inner in items.items()})


def _with_readings(state: State, raw: Sequence[Kept[kinds.Reading]]) -> State:
    """Readings with position and piece resolved; late ones go where their occasion says."""
    lookup = state.lookup
    positions = {f.key: f.position for f in lookup.sheet.features}
    positions |= {d.key: d.position for d in lookup.sheet.dry_readings}
    resolved = []
    for kept in raw:
        body = kept.body
        position = body.position or positions.get(body.target, "")
        piece = body.piece or (state.occupant(position, body.occasion) if position else "")
        resolved.append(
            KeptReading(body, position, piece, kept.id, kept.sequence, kept.who, kept.happened_at)
        )
    object.__setattr__(state, "readings", tuple(resolved))  # still being built: nobody has it yet
    return state


def _understood(log: list[Accepted], build: _Build) -> list[tuple[Accepted, Body]]:
    """Entries that this version understands; newer or malformed ones are kept aside, said so."""
    found = []
    for accepted in log:
        if not is_known(accepted.entry):
            build.unknown.append(accepted)
            build.oddities.append(
                f"entry {accepted.sequence} ({accepted.entry.kind}, version "
                f"{accepted.entry.version}) is from a newer Casewright: kept, not counted"
            )
            continue
        try:
            found.append((accepted, body_of(accepted.entry)))
        except FormErrors as error:
            build.unknown.append(accepted)
            build.oddities.append(f"entry {accepted.sequence} is kept, not counted: {error}")
    return found


def _standing(
    entries: list[tuple[Accepted, Body]],
) -> tuple[list[tuple[Accepted, Body]], tuple[Conflict, ...]]:
    """Entries that count: not corrected, withdrawn or dropped; conflicts among the rest."""
    gone: set[str] = set()
    for accepted, body in entries:
        if accepted.entry.supersedes:
            gone.add(accepted.entry.supersedes)
        if isinstance(body, kinds.Withdrawn):
            gone.add(body.entry)
        if isinstance(body, kinds.Settled):
            gone.update(body.drop)
    standing = [(accepted, body) for accepted, body in entries if accepted.entry.id not in gone]
    return standing, _conflicts(standing)


def _conflicts(standing: list[tuple[Accepted, Body]]) -> tuple[Conflict, ...]:
    """Answers to one slot that differ and whose writers had not seen the earlier one."""
    answers: dict[Slot, list[tuple[Accepted, Body]]] = {}
    found: dict[Slot, list[str]] = {}
    for accepted, body in standing:
        for slot in body.slots():
            earlier = answers.setdefault(slot, [])
            seen = accepted.entry.seen
            blind = [
                other.entry.id
                for other, answer in earlier
                if seen is not None
                and other.sequence > seen
                and answer.as_answered() != body.as_answered()
            ]
            if blind:
                known = found.setdefault(slot, [])
                known += [one for one in (*blind, accepted.entry.id) if one not in known]
            earlier.append((accepted, body))
    return tuple(Conflict(slot, tuple(ids)) for slot, ids in found.items())


def _kept(accepted: Accepted, body: Body) -> Kept[Any]:
    entry = accepted.entry
    return Kept(body, entry.id, accepted.sequence, entry.who, entry.happened_at)


Handler = Callable[[_Build, Kept[Any]], None]


def _value(name: str) -> Handler:
    def handle(build: _Build, kept: Kept[Any]) -> None:
        build.values[name] = kept

    return handle


def _list(name: str) -> Handler:
    def handle(build: _Build, kept: Kept[Any]) -> None:
        build.lists.setdefault(name, []).append(kept)

    return handle


def _photo(build: _Build, kept: Kept[kinds.Photographed]) -> None:
    """A photograph; one that `explains` an earlier one says what that shows."""
    photos = build.lists.setdefault("photos", [])
    for place, earlier in enumerate(photos):
        if kept.body.explains and earlier.id == kept.body.explains:
            said = {
                name: getattr(kept.body, name)
                for name in ("about", "position", "damage")
                if getattr(kept.body, name)
            }
            photos[place] = replace(earlier, body=earlier.body.model_copy(update=said))
            return
    photos.append(kept)


def _map(name: str, key: str) -> Handler:
    def handle(build: _Build, kept: Kept[Any]) -> None:
        build.maps.setdefault(name, {})[getattr(kept.body, key)] = kept

    return handle


def _sheet(build: _Build, kept: Kept[kinds.SheetAdopted]) -> None:
    try:
        build.values["sheet"] = load(kept.body.text, kept.body.name).sheet
    except CasewrightError as error:
        build.oddities.append(f"the adopted sheet can't be read: {error}")
    build.values["sheet_digest"] = kept.body.digest
    build.values["sheet_name"] = kept.body.name


def _fasteners(build: _Build, kept: Kept[kinds.FastenersCounted]) -> None:
    places = build.nested.setdefault("fasteners", {}).setdefault(kept.body.joint, {})
    places.update(dict.fromkeys(kept.body.places, kept.body.fastener_state))


def _step(build: _Build, kept: Kept[kinds.StepDone]) -> None:
    body = kept.body
    share = None if body.minutes is None else body.minutes / len(body.answered)
    for key in body.answered:
        one = kept
        if body.also:
            alone = body.model_copy(update={"step": key, "also": (), "minutes": share})
            one = replace(kept, body=alone)
        if body.outcome == "stuck":
            stuck = build.maps.setdefault("stuck", {})
            stuck[key] = (*stuck.get(key, ()), one)
        else:
            build.maps.setdefault("steps", {})[key] = one


def _attempt(build: _Build, kept: Kept[kinds.Attempt]) -> None:
    attempts = build.maps.setdefault("attempts", {})
    attempts[kept.body.joint] = (*attempts.get(kept.body.joint, ()), kept)


def _piece(build: _Build, kept: Kept[kinds.PieceKnown]) -> None:
    body = kept.body
    piece = Piece(
        body.piece, body.position, body.part, body.origin, body.marks, body.was, body.part_number
    )
    build.maps.setdefault("pieces", {})[body.piece] = piece


def _placed(build: _Build, kept: Kept[kinds.PiecePlaced]) -> None:
    body = kept.body
    known = build.maps.setdefault("pieces", {})
    if body.piece not in known and not body.piece.startswith("in:"):
        origin = body.origin or "new"
        known[body.piece] = Piece(
            body.piece, body.position, "", origin, body.marks, "", body.part_number
        )
    build.nested.setdefault("placed", {}).setdefault(body.position, {})[body.occasion] = body.piece
    build.lists.setdefault("placements", []).append(kept)


def _pack(build: _Build, kept: Kept[kinds.PackFitted]) -> None:
    packs = build.nested.setdefault("packs", {}).setdefault(kept.body.adjuster, {})
    packs[kept.body.occasion] = kept


def _plain(name: str, key: str, value: str) -> Handler:
    def handle(build: _Build, kept: Kept[Any]) -> None:
        build.maps.setdefault(name, {})[getattr(kept.body, key)] = getattr(kept.body, value)

    return handle


def _setting(build: _Build, kept: Kept[kinds.SettingMade]) -> None:
    build.maps.setdefault("settings", {})[kept.body.name] = kept.body.value
    build.lists.setdefault("settings_made", []).append(kept)


def _nothing(build: _Build, kept: Kept[Any]) -> None:
    """Withdrawals and settlements have done their work in the first pass."""


_HANDLERS: dict[str, Handler] = {
    "job-opened": _value("opened"),
    "sheet-adopted": _sheet,
    "sheet-added": lambda build, kept: build.additions.append(kept),
    "limit-added": _map("limits_added", "target"),
    "complaint": _value("complaint"),
    "finding": _list("findings"),
    "reading": lambda build, kept: build.raw_readings.append(kept),
    "fasteners-counted": _fasteners,
    "step-done": _step,
    "attempt": _attempt,
    "lock-opened": _plain("locks_opened", "lock", "reason"),
    "piece-known": _piece,
    "piece-placed": _placed,
    "pack-fitted": _pack,
    "shelf-counted": _value("shelf"),
    "sign-confirmed": _plain("signs", "adjuster", "agreed"),
    "pattern-seen": _list("patterns"),
    "verdict": lambda build, kept: build.maps.setdefault("verdicts", {}).update(
        {kept.body.piece or f"in:{kept.body.position}": kept}
    ),
    "torque": _list("torques"),
    "leak-log": _list("leak_logs"),
    "oil-filled": _value("oil"),
    "oil-read": _list("oil_readings"),
    "anode-read": _list("anodes"),
    "function-tested": _map("functions", "test"),
    "remedy": _map("remedies", "cause"),
    "offers-imported": _list("offers"),  # prices.in_force tells which of them count
    "quoted": _list("quotes"),
    "owner-said": _list("owner_said"),
    "ordered": _list("orders"),
    "received": _list("received"),
    "parts-shelf": _list("parts_shelf"),
    "signed-off": _value("signed"),
    "calculation": _list("calculations"),
    "withdrawn": _nothing,
    "settled": _nothing,
    "note": _list("notes"),
    "photo": _photo,
    "instrument": _map("instruments", "instrument"),
    "setting": _setting,
}
