"""Which way everything goes: signs from the side on which the pack sits, never a formula.

A gear moves along its own axis, toward the apex (into mesh) or away from it. A pack between
two things pushes them apart when it is thicker. So: if the member lies between the apex and
the pack, it goes toward the apex; if the pack lies between the apex and the member, away.
From that: height goes with the pinion, lash opens with what goes away from the apex.
A bearing arrangement is tighter or looser: a pack under a cup tightens, one under a retainer
or cover flange loosens.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from casewright.errors import InputError, RangeError
from casewright.reasoning.shim_model import Sensitivity

TOWARD = "toward the apex"
AWAY = "away from the apex"
TIGHTER = "tighter"
LOOSER = "looser"


@dataclass(frozen=True, slots=True)
class Seat:
    """An adjuster: which member it moves, and which way when it is made thicker.

    `motion` is `TOWARD` or `AWAY`, "" where it moves no gear; `bearings` is `TIGHTER` or
    `LOOSER` with `shaft` naming whose bearings, "" where it doesn't touch their play.
    """

    name: str
    moves: str = ""
    motion: str = ""
    shaft: str = ""
    bearings: str = ""


@dataclass(frozen=True, slots=True)
class Mesh:
    """Two members in mesh; the lash that it makes."""

    lash: str
    members: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Walk:
    """One line of the sign walk: this much more here changes that response by so much."""

    adjuster: str
    step: float
    response: str
    change: float
    word: str
    deviation: float


def motion_from_stack(stack: Sequence[str], member: str, pack: str, wall: str) -> str:
    """Motion of a member when the pack thickens, from what lies on its axis in order.

    Args:
        stack: names along the axis, from the apex outward, wall and apex side included [-].
        member: what moves [-].
        pack: the adjuster [-].
        wall: the fixed face that the pack leans on [-].
    Returns:
        `TOWARD` or `AWAY` [-].
    Valid: pack between wall and member, everything between them pressed together.
    Raises: InputError when a name is missing or the pack is not between wall and member.
    Source: own: a thicker pack pushes what it lies between apart.
    Example:
        >>> motion_from_stack(["gear", "cup", "shims", "shoulder"], "gear", "shims", "shoulder")
        'toward the apex'
    """
    for name in (member, pack, wall):
        if name not in stack:
            raise InputError("stack", name, f"one of: {', '.join(stack)}")
    places = {name: list(stack).index(name) for name in (member, pack, wall)}
    if places[member] < places[pack] < places[wall]:
        return TOWARD
    if places[wall] < places[pack] < places[member]:
        return AWAY
    expected = f"{pack} between {wall} and {member}"
    raise InputError("stack", ", ".join(stack), expected, "Give the order from the apex outward.")


def response_signs(
    seat: Seat,
    meshes: Sequence[Mesh],
    heights: Mapping[str, str],
    plays: Mapping[str, str],
    torques: Mapping[str, str] | None = None,
) -> dict[str, int]:
    """Sign of each response's change when the adjuster is made thicker.

    Args:
        seat: the adjuster [-].
        meshes: which members mesh, and the name of their lash [-].
        heights: height response to the member whose distance from the apex it is [-].
        plays: end play response to its shaft [-].
        torques: turning torque response to its shaft [-].
    Returns:
        response name to +1 or −1; responses that don't change are left out [-].
    Valid: height counted away from the apex; one motion for each seat.
    Raises: InputError for a motion or bearing word that is not known, or a seat that moves
        nothing.
    Source: own: geometry of axial moves (checked by moving points on a line).
    """
    _check_words(seat)
    outward = {TOWARD: -1, AWAY: 1, "": 0}[seat.motion]
    looser = {TIGHTER: -1, LOOSER: 1, "": 0}[seat.bearings]
    signs = {name: outward for name, member in heights.items() if member == seat.moves}
    signs |= {mesh.lash: outward for mesh in meshes if seat.moves in mesh.members}
    signs |= {name: looser for name, shaft in plays.items() if shaft == seat.shaft}
    signs |= {name: -looser for name, shaft in (torques or {}).items() if shaft == seat.shaft}
    return {name: sign for name, sign in signs.items() if sign}


def _check_words(seat: Seat) -> None:
    """Refuse unknown words and a seat without any effect."""
    if seat.motion not in (TOWARD, AWAY, ""):
        raise InputError(f"motion of {seat.name}", seat.motion, f"'{TOWARD}' or '{AWAY}'")
    if seat.bearings not in (TIGHTER, LOOSER, ""):
        raise InputError(f"bearings of {seat.name}", seat.bearings, f"'{TIGHTER}' or '{LOOSER}'")
    if not (seat.moves and seat.motion) and not (seat.shaft and seat.bearings):
        raise InputError(f"adjuster {seat.name}", "moves nothing", "a member or bearings it moves")


def signed_sensitivities(
    seat: Seat, signs: Mapping[str, int], sizes: Mapping[str, tuple[float, float, str]]
) -> tuple[Sensitivity, ...]:
    """Sensitivities of one adjuster: size from sheet or geometry, sign from where it sits.

    Args:
        seat: the adjuster [-].
        signs: from `response_signs` [-].
        sizes: response to (size without sign [unit per m], deviation, source) [-].
    Returns:
        signed sensitivities [response unit per m].
    Valid: sizes of 0 or more.
    Raises: RangeError for a size below zero: the sign is not given twice.
    Source: own: size and sign kept apart, so that a sign is never typed.
    """
    found = []
    for response, sign in signs.items():
        if response in sizes:
            size, deviation, source = sizes[response]
            if size < 0:
                expected = "0 or more: the sign follows from where the pack sits"
                raise RangeError(f"sensitivity {response} / {seat.name}", size, expected)
            family = "angles" if source == "geometry" else ""
            found.append(Sensitivity(response, seat.name, sign * size, deviation, source, family))
    return tuple(found)


def sign_walk(
    seat: Seat, sensitivities: Sequence[Sensitivity], kinds: Mapping[str, str], step: float = 1e-4
) -> tuple[Walk, ...]:
    """What a step more at this adjuster does, line by line, for a person to confirm once.

    Args:
        seat: the adjuster [-].
        sensitivities: of the whole leg [response unit per m].
        kinds: response to "height", "lash", "end play" or "torque" [-].
        step: how much thicker [m].
    Returns:
        lines ready for words [-]: "rises"/"falls", "opens"/"closes", "grows"/"shrinks".
    Valid: small steps.
    Raises: InputError for a kind that is not known.
    Source: own: words for the sign of rate · step.
    """
    words = {
        "height": ("goes higher", "goes lower"),
        "lash": ("opens", "closes"),
        "end play": ("grows", "shrinks"),
        "torque": ("rises", "falls"),
    }
    lines = []
    for rate in sensitivities:
        if rate.adjuster != seat.name or not rate.value:
            continue
        kind = kinds.get(rate.response, "")
        if kind not in words:
            raise InputError(f"kind of {rate.response}", kind, f"one of: {', '.join(words)}")
        change = rate.value * step
        word = words[kind][0 if change > 0 else 1]
        lines.append(Walk(seat.name, step, rate.response, change, word, rate.deviation * step))
    return tuple(lines)


def against_walk(
    sensitivities: Sequence[Sensitivity], signs: Mapping[str, Mapping[str, int]]
) -> tuple[tuple[str, str], ...]:
    """Sensitivities whose sign (from a sheet or from trials) is against where the pack sits.

    Args:
        sensitivities: as given or learned [response unit per m].
        signs: adjuster to (response to sign), from `response_signs` [-].
    Returns:
        (response, adjuster) that disagree [-]; advice on packs must wait for an answer.
    Valid: always.
    Raises: nothing.
    Source: own: a guard: no shim is told in a direction that the leg's drawing denies.
    """
    return tuple(
        (rate.response, rate.adjuster)
        for rate in sensitivities
        if rate.value and rate.value * signs.get(rate.adjuster, {}).get(rate.response, 0) <= 0
    )
