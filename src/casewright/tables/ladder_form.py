"""The form of the family default ladders: what a rung says, its cautions, how it is known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

PRACTICE = "common practice, no source"
INVENTED = "invented for this project"
GRADES = ("tight", "seized", "welded")
STANDING_LINE = "The maker's manual, local codes and licensed practice come first."

HEAT = (
    "Heat: drain the oil and open the vents first (fire, burst). Aluminium shows no colour before "
    "it fails: measure the temperature and stay under the sheet's ceiling. Seals and paint nearby "
    "are lost."
)
FLYING = "Steel may fly: face shield, stand aside of the line of pull, nobody behind it."
CUTTING = "Cutting: face shield, guard on the disc, no rags or solvent near the sparks, dust mask."
PRESSING = "A press or jacked puller stores force: guard it, stand aside, support beside the bore."
LEVER = "A long bar slips or snaps: brace the leg, pull rather than push, keep your face away."
PENETRANT = (
    "Penetrant is flammable and irritates: no flame afterwards until it is washed off and dry."
)
COLD = "Dry ice or freeze spray burns the skin and displaces air: gloves, open doors."
HOLD = "The weight drops when it lets go: sling or support it first."
WELDING = "Welding: battery and electronics disconnected, eyes and skin covered."
DRILLING = "Drilling: clamp the leg, eye protection; a drill that wanders ruins the bore."


@dataclass(frozen=True, slots=True)
class DefaultRung:
    """One method of a family: chances [-] by grade, harm [-] by role, shares left [-] by attempt.

    `path` is what is pulled and what it reacts against, as roles: the reason for `harm`.
    """

    id: str
    name: str
    kind: str
    minutes: float
    chances: tuple[float, ...] = ()
    wait: float = 0.0
    tool: str = ""
    repeats: int = 1
    harm: Mapping[str, float] = field(default_factory=dict)
    eases: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    breaks: float = 0.0
    after: tuple[str, ...] = ()
    not_after: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    path: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DefaultPairCaution:
    """What single rungs can't see: a rung marked `second` after one marked `first`."""

    first: str
    second: str
    words: str


@dataclass(frozen=True, slots=True)
class Family:
    """A kind of joint: its roles in words, chance of each grade [-], methods gentle to rough."""

    id: str
    name: str
    roles: Mapping[str, str]
    prior: tuple[float, ...]
    rungs: tuple[DefaultRung, ...]


PAIR_CAUTIONS = (
    DefaultPairCaution(
        "penetrant",
        "flame",
        "Penetrant was used here: wash it off and let it dry before any flame.",
    ),
    DefaultPairCaution(
        "penetrant", "sparks", "Penetrant was used here: wash it off before cutting throws sparks."
    ),
    DefaultPairCaution(
        "flame", "penetrant", "The casting is hot: let it cool before penetrant goes on."
    ),
    DefaultPairCaution(
        "flame", "blow", "The aluminium was heated: hot, it dents and cracks under blows."
    ),
    DefaultPairCaution(
        "flame", "cold", "Hot and cold together may crack the casting: cool the inner part only."
    ),
)

_ORIGINS = {
    "name": PRACTICE, "kind": PRACTICE, "tool": PRACTICE, "after": PRACTICE, "not_after": PRACTICE,
    "marks": PRACTICE, "cautions": PRACTICE, "path": PRACTICE, "roles": PRACTICE,
    "minutes": INVENTED, "wait": INVENTED, "chances": INVENTED, "harm": INVENTED,
    "eases": INVENTED, "breaks": INVENTED, "repeats": INVENTED, "prior": INVENTED,
}  # fmt: skip


def origin(name: str) -> str:
    """How a value of these tables is known: common practice or invented.

    Args:
        name: field of `Family`, `DefaultRung` or `DefaultPairCaution` [-].
    Returns:
        `PRACTICE` or `INVENTED` [-].
    Valid: the fields of these tables.
    Raises: KeyError for another field.
    Source: own: provenance of this table.
    Example:
        >>> origin("chances")
        'invented for this project'
    """
    return PRACTICE if name in ("first", "second", "words") else _ORIGINS[name]
