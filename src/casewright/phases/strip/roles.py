"""Which positions play which role in a stuck joint's ladder, and what else a method endangers.

The family's load paths say what each method harms, by role. Roles are filled from what the joint
holds and what stands around it; the sheet's `at_risk` adds positions by method.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from casewright.drive.schema import Joint
from casewright.job.state import State
from casewright.job.strip_state import behind
from casewright.tables.ladder_defaults import FAMILIES, DefaultRung

SEALS = ("seal", "o-ring", "gasket")
BEARINGS = ("bearing", "cup", "cone", "needle-bearing")
# Words that a sheet uses for a method, and the marks or rungs that are meant by them.
METHOD_MARKS: Mapping[str, tuple[str, ...]] = {
    "heat": ("heat", "flame"), "flame": ("flame",), "cold": ("cold",),
}  # fmt: skip
METHOD_RUNGS: Mapping[str, tuple[str, ...]] = {
    "slide-hammer": ("slide", "shaft-pull"), "puller": ("puller", "hydraulic", "jack"),
    "drilling": ("drill", "bore", "extractor", "drill-head"), "impact": ("impact", "driver"),
    "cutting": ("cut", "relief", "split"), "lever": ("bar", "turn"), "pulling": ("puller",),
}  # fmt: skip
# A position that the sheet says a method endangers, in no role of the family: invented.
EXTRA_HARM = 0.15


def roles_of(state: State, joint: Joint, family: str) -> dict[str, tuple[str, ...]]:
    """Role to the positions that play it; roles that nothing plays are left out."""
    held = [p for p in joint.holds if p in state.lookup.positions]
    around = _around(state, joint)
    found: dict[str, tuple[str, ...]] = {}
    for role in FAMILIES[family].roles:
        kinds = _KINDS.get((family, role)) or _KINDS.get(("", role), ())
        mine = _of_kind(state, held, kinds)
        if role == "seals":
            mine = tuple(dict.fromkeys((*mine, *_of_kind(state, _heated(joint), SEALS))))
        if role in ("hub", "mate", "inner") and not mine:
            mine = tuple(p for p in held if _kind(state, p) not in _NEVER_PULLED)
        if mine or role in ("seals", "screw", "stud", "thread"):
            places = mine
        else:
            places = _of_kind(state, around, kinds)[: _MOST.get(role, 1)]
        if places:
            found[role] = places
    return found


_NEVER_PULLED = ("housing", "shaft", "shim-pack", "fastener", "spacer")
_MOST = {"bearing": 2}
_KINDS: Mapping[tuple[str, str], tuple[str, ...]] = {
    ("", "housing"): ("housing",), ("", "seals"): SEALS, ("", "bearing"): BEARINGS,
    ("", "shaft"): ("shaft",), ("", "gear"): ("gear",), ("", "carrier"): ("carrier",),
    ("", "nut"): ("ring", "nut"), ("", "screw"): ("fastener", "nut"),
    ("tapered-hub", "hub"): ("gear", "propeller", "clutch"),
    ("splined-shaft", "mate"): ("propeller", "gear", "clutch", "pump"),
    ("press-fit", "inner"): (*BEARINGS, "bush", "seal", "ring", "pin"),
}  # fmt: skip


def _kind(state: State, position: str) -> str:
    return state.lookup.part_at(position).kind


def _of_kind(state: State, places: Iterable[str], kinds: tuple[str, ...]) -> tuple[str, ...]:
    known = state.lookup.positions
    return tuple(dict.fromkeys(p for p in places if p in known and _kind(state, p) in kinds))


def _heated(joint: Joint) -> tuple[str, ...]:
    return tuple(p for method in ("heat", "flame") for p in joint.at_risk.get(method, ()))


def _around(state: State, joint: Joint) -> tuple[str, ...]:
    """What stands near a joint: on the same shaft, what is freed next, then the same unit."""
    places, sheet = state.lookup.positions, state.lookup.sheet
    held = [places[p] for p in joint.holds if p in places]
    lines, units = {p.on for p in held if p.on}, {p.unit for p in held}
    line = [place.key for place in sheet.positions if place.on in lines]
    later = [p for key in behind(state, joint.key) for p in state.lookup.joints[key].holds]
    unit = [
        p.key for p in sheet.positions
        if p.unit in units and state.lookup.part_at(p.key).kind == "housing"
    ]  # fmt: skip
    return tuple(dict.fromkeys((*line, *later, *unit)))


def extra_harm(
    joint: Joint, family: str, played: Mapping[str, tuple[str, ...]]
) -> dict[str, dict[str, float]]:
    """Rung to positions that only the sheet names, in no role with a chance of its own there."""
    found: dict[str, dict[str, float]] = {}
    for method, positions in joint.at_risk.items():
        for rung in FAMILIES[family].rungs:
            if not _means(method, rung):
                continue
            covered = {p for role in rung.harm for p in played.get(role, ())}
            more = {p: EXTRA_HARM for p in positions if p not in covered}
            if more:
                found.setdefault(rung.id, {}).update(more)
    return found


def _means(method: str, rung: DefaultRung) -> bool:
    """Whether the sheet's word for a method means this rung."""
    word = method.replace("_", "-").lower()
    if word == rung.id or rung.id in METHOD_RUNGS.get(word, ()):
        return True
    return bool(set(METHOD_MARKS.get(word, ())) & set(rung.marks))
