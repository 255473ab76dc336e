"""Kinds of rework as data: what each is for, what must be measured afterwards, where it is barred.

All of it is common practice without a source, and the maker's manual comes first.
"""

from __future__ import annotations

from dataclasses import dataclass

from casewright.errors import InputError

PLACES = {
    "bearing bore": "bore that holds a bearing or a cup",
    "carrier-ring thread": "thread of the ring nut or carrier in the case",
    "flange face": "joint face of a housing",
    "plate": "cavitation plate or other outer plate",
    "plug thread": "thread of a drain, vent or level plug",
    "seal land": "shaft surface on which a lip or ring runs",
    "skeg": "fin below the gearcase",
    "stud thread": "thread of a stud or bolt in the case",
    "thrust shoulder": "shoulder that carries thrust",
    "water passage": "wall between water and outside or oil",
}


@dataclass(frozen=True, slots=True)
class ReworkKind:
    """One kind of rework.

    `places`: where it is used; `barred`: where it must not be, with the reason;
    `only_if`: places where it is allowed only if `measure_after` can be done there.
    """

    key: str
    label: str
    places: tuple[str, ...]
    barred: tuple[tuple[str, str], ...]
    only_if: tuple[str, ...]
    conditions: tuple[str, ...]
    measure_after: tuple[str, ...]
    cautions: tuple[str, ...]
    structural: bool


@dataclass(frozen=True, slots=True)
class ReworkAnswer:
    """Whether a kind of rework may be used at a place, why not, and what it asks for."""

    kind: ReworkKind
    allowed: bool
    reason: str
    measure_after: tuple[str, ...]


_TEMPER = "welding heat takes the temper and moves bores"
_NOT_STRUCTURAL = "epoxy is never counted as structure"

KINDS: tuple[ReworkKind, ...] = (
    ReworkKind(
        "sleeve",
        "Thin sleeve over the grooved land",
        ("seal land",),
        (),
        (),
        ("shaft straight within its run-out", "seal suits the sleeve's diameter"),
        ("sleeve's outside diameter", "run-out on the sleeve", "leak test"),
        ("Sharp edge: gloves. Heat on the sleeve only within its maker's word.",),
        True,
    ),
    ReworkKind(
        "fresh-track",
        "Seat the seal on a fresh track beside the groove",
        ("seal land",),
        (),
        (),
        ("land wide enough beside the groove", "seal can stand deeper or higher, vents stay open"),
        ("depth at which the seal stands", "leak test"),
        (),
        True,
    ),
    ReworkKind(
        "thread-insert",
        "Thread insert",
        ("plug thread", "stud thread"),
        (("carrier-ring thread", "a stripped carrier-ring thread usually condemns the case"),),
        (),
        ("wall around the insert as thick as the sheet or the insert's maker asks",),
        ("thread with a plug gauge", "squareness of the stud", "leak test at plugs"),
        ("Eye shield; chips kept out of the case.",),
        True,
    ),
    ReworkKind(
        "weld",
        "Weld and dress",
        ("skeg", "plate"),
        (("carrier-ring thread", _TEMPER), ("seal land", _TEMPER)),
        ("bearing bore", "thrust shoulder", "flange face", "water passage"),
        ("case empty, open and free of oil and fumes", "welder who holds the licence for it"),
        ("bores: diameter, roundness, alignment", "flange flatness", "crack check", "leak test"),
        ("Fire and fumes: open case, no oil, extinguisher at hand. Licensed welder.",),
        True,
    ),
    ReworkKind(
        "epoxy",
        "Fill with epoxy",
        ("skeg", "plate"),
        tuple((place, _NOT_STRUCTURAL) for place in PLACES if place not in ("skeg", "plate")),
        (),
        ("surface blasted and dry",),
        ("shape against a template",),
        ("Gloves and mask; dust of cured epoxy.",),
        False,
    ),
)


def rework_kind(key: str) -> ReworkKind:
    """The kind of rework with this key.

    Args:
        key: such as "sleeve" [-].
    Returns:
        the kind [-].
    Valid: kinds listed in `KINDS`.
    Raises: InputError for another key.
    Source: common practice.
    """
    for kind in KINDS:
        if kind.key == key:
            return kind
    raise InputError("rework", key, f"one of {', '.join(kind.key for kind in KINDS)}")


def may_rework(key: str, place: str, can_measure_after: bool) -> ReworkAnswer:
    """Whether a kind of rework may be used at a place, with what must be measured afterwards.

    Args:
        key: kind of rework [-].
        place: one of `PLACES` [-].
        can_measure_after: whether the shop can measure there afterwards [-].
    Returns:
        the answer with its reason in words [-].
    Valid: the maker's manual comes first.
    Raises: InputError for an unknown kind or place.
    Source: common practice.
    """
    if place not in PLACES:
        raise InputError("place", place, f"one of {', '.join(sorted(PLACES))}")
    kind = rework_kind(key)
    barred = dict(kind.barred)
    if place in barred:
        return ReworkAnswer(kind, False, barred[place], ())
    if place not in (*kind.places, *kind.only_if):
        return ReworkAnswer(kind, False, f"not a rework for a {place}", ())
    if place in kind.only_if and not can_measure_after:
        reason = f"at a {place} only where {kind.measure_after[0]} are measured afterwards"
        return ReworkAnswer(kind, False, reason, ())
    return ReworkAnswer(kind, True, "", kind.measure_after)


def reworks_for(place: str, can_measure_after: bool) -> tuple[ReworkAnswer, ...]:
    """Every kind of rework for a place: those allowed first, then those barred with the reason.

    Args:
        place: one of `PLACES` [-].
        can_measure_after: whether the shop can measure there afterwards [-].
    Returns:
        answers [-].
    Valid: the maker's manual comes first.
    Raises: InputError for an unknown place.
    Source: common practice.
    """
    answers = [may_rework(kind.key, place, can_measure_after) for kind in KINDS]
    return tuple(sorted(answers, key=lambda answer: not answer.allowed))
