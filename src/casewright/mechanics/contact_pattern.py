"""What a seen contact pattern may say, and what it may not.

True flanks are unpublished and published tables disagree about what a pinion's move does
along the tooth; a tapped centre is good to about ±10 % of the face. Common to all sources are
two effects only: the pinion's axial place moves the pattern up or down, the gear's moves it
along. So a seen pattern is a second witness: a direction, agreement or not with lash and
height, and a veto on "stop". It gives no shims; see `contact_learning` for those.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from casewright.errors import MissingError, RangeError

TAP_HALF_WIDTH = 0.10  # share of the face: common practice, no source
Member = Literal["pinion", "gear"]
Word = Literal["toe", "heel", "low", "high", "middle", "not sure"]
Move = Literal["in", "out", "none"]
Place = tuple[float, float]  # a centre and its doubt
Verdict = Literal["agrees", "disagrees", "silent"]


@dataclass(frozen=True, slots=True)
class SeenPatch:
    """A patch on one tooth: centre along (0 toe, 1 heel) and up (0 root, 1 tip) [-].

    `along_doubt`, `up_doubt`: half-widths of what the centre is good for (19 times in 20) [-].
    """

    along: float
    up: float
    along_doubt: float = TAP_HALF_WIDTH
    up_doubt: float = TAP_HALF_WIDTH


@dataclass(frozen=True, slots=True)
class SeenPattern:
    """Patches on the drive and coast flank of one member's tooth; None where not looked at."""

    member: Member
    drive: SeenPatch | None
    coast: SeenPatch | None


@dataclass(frozen=True, slots=True)
class Wanted:
    """Where the centre of a light hand pattern should lie on the gear [-], lowest and highest.

    The sheet's own picture comes first; these are common practice: a light pattern sits a
    little towards the toe, since load moves it to the heel.
    """

    along: tuple[float, float] = (0.30, 0.60)
    up: tuple[float, float] = (0.35, 0.65)


@dataclass(frozen=True, slots=True)
class Direction:
    """One thing that the pattern says of one member, towards where it should go."""

    member: Member
    move: Move
    finding: str
    then: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class PatternStatement:
    """All that a pattern says: words per flank, directions, and whether it forbids to stop."""

    drive_along: Word
    drive_up: Word
    coast_along: Word
    coast_up: Word
    directions: tuple[Direction, ...]
    cross_contact: bool
    vetoes_stop: bool
    words: tuple[str, ...]


def on_gear(pattern: SeenPattern) -> SeenPattern:
    """The same pattern as it would look on the gear; high on the pinion is low on the gear.

    Args:
        pattern: as seen on either member [-].
    Returns:
        SeenPattern on the gear [-].
    Valid: working flanks of one mesh: tip of one against root of the other.
    Raises: MissingError without any patch, RangeError for a patch outside the tooth.
    Source: own: tips meet roots, heels meet heels
    """
    if pattern.drive is None and pattern.coast is None:
        raise MissingError("pattern", "a patch on the drive or the coast flank")
    turned = [
        None if patch is None else _checked(patch, name, pattern.member)
        for name, patch in (("drive", pattern.drive), ("coast", pattern.coast))
    ]
    return SeenPattern("gear", turned[0], turned[1])


def _checked(patch: SeenPatch, name: str, member: Member) -> SeenPatch:
    for where, value in (("along the tooth", patch.along), ("up the tooth", patch.up)):
        if not 0 <= value <= 1:
            raise RangeError(
                f"{name} pattern {where}",
                value,
                "a place on the tooth, 0 to 1",
                "Tap the middle of the marked area on the tooth picture.",
            )
    return patch if member == "gear" else replace(patch, up=1 - patch.up)


def state_pattern(pattern: SeenPattern, wanted: Wanted | None = None) -> PatternStatement:
    """What a pattern says of pinion and gear: directions, never shims.

    Args:
        pattern: as seen on either member [-].
        wanted: where the pattern should be on the gear; the sheet's if it has one [-].
    Returns:
        PatternStatement: words, directions, veto [-].
    Valid: bevel pairs; the lengthwise effect of a pinion's move isn't claimed.
    Raises: MissingError without any patch, RangeError for a patch outside the tooth.
    Source: TM-3930 chart; TM-3805 p. 8-42; common practice for cross contact
    """
    wanted = wanted or Wanted()
    seen = on_gear(pattern)
    flanks = [seen.drive, seen.coast]
    lengthwise = [None if p is None else (p.along, p.along_doubt) for p in flanks]
    upwards = [None if p is None else (p.up, p.up_doubt) for p in flanks]
    along = [_word(place, wanted.along, "toe", "heel") for place in lengthwise]
    up = [_word(place, wanted.up, "low", "high") for place in upwards]
    cross = set(along) == {"toe", "heel"}
    directions = [
        made
        for made in (_profile_direction(up, flanks), _lengthwise_direction(along, flanks, cross))
        if made is not None
    ]
    words = [f"{d.finding}: move the {d.member} {d.move}, {d.then}" for d in directions]
    if cross:
        words.append(
            "toe on one flank and heel on the other (cross contact): no shim of the gear cures "
            "this; look for offset of the bores or a carrier out of line, and for pinion depth"
        )
    return PatternStatement(
        drive_along=along[0],
        drive_up=up[0],
        coast_along=along[1],
        coast_up=up[1],
        directions=tuple(directions),
        cross_contact=cross,
        vetoes_stop=bool(directions) or cross,
        words=tuple(words) or ("nothing against this set-up",),
    )


def _word(seen: Place | None, wanted: tuple[float, float], low: Word, high: Word) -> Word:
    """A word for a centre, sure only when it is off by more than it is good for."""
    if seen is None:
        return "not sure"
    place, doubt = seen
    if place + doubt < wanted[0]:
        return low
    if place - doubt > wanted[1]:
        return high
    return "middle" if wanted[0] <= place <= wanted[1] else "not sure"


def _both(words: list[Word], flanks: list[SeenPatch | None], one: Word) -> bool:
    """All flanks looked at say `one`, or one says it and the other can't tell."""
    seen = [w for w, p in zip(words, flanks, strict=True) if p is not None]
    return one in seen and all(w in (one, "not sure") for w in seen)


def _interval(seen: list[Place]) -> Place:
    """What the flanks' common centre is good for: as wide as the least sure of them."""
    mean = sum(place for place, _ in seen) / len(seen)
    doubt = max(doubt for _, doubt in seen)
    return mean - doubt, mean + doubt


def _profile_direction(up: list[Word], flanks: list[SeenPatch | None]) -> Direction | None:
    low, high = _interval([(p.up, p.up_doubt) for p in flanks if p])
    if _both(up, flanks, "low"):
        finding, then = "low on the gear", "then bring the gear in for the lash"
        return Direction("pinion", "out", finding, then, low, high)
    if _both(up, flanks, "high"):
        finding, then = "high on the gear", "then move the gear out for the lash"
        return Direction("pinion", "in", finding, then, low, high)
    return None


def _lengthwise_direction(
    along: list[Word], flanks: list[SeenPatch | None], cross: bool
) -> Direction | None:
    if cross:
        return None
    low, high = _interval([(p.along, p.along_doubt) for p in flanks if p])
    then = "and see whether the lash stays in its window; if not, suspect the shaft angle"
    if _both(along, flanks, "toe"):
        return Direction("gear", "out", "at the toe", then, low, high)
    if _both(along, flanks, "heel"):
        return Direction("gear", "in", "at the heel", then, low, high)
    return None


@dataclass(frozen=True, slots=True)
class Belief:
    """What height and lash say: how far each member stands out of place, + away from the apex.

    Means and standard deviations [m].
    """

    pinion: float
    pinion_deviation: float
    gear: float
    gear_deviation: float


@dataclass(frozen=True, slots=True)
class Witness:
    """The pattern beside height and lash: a verdict for each member, and the veto."""

    pinion: Verdict
    gear: Verdict
    vetoes_stop: bool
    words: tuple[str, ...]


def compare_with_readings(statement: PatternStatement, belief: Belief) -> Witness:
    """Does the pattern agree with lash and height; it may veto stop, never grant it.

    Args:
        statement: what the pattern says [-].
        belief: where height and lash put the members [m].
    Returns:
        Witness: agrees, disagrees or silent per member; veto [-].
    Valid: a belief counts as a direction beyond one standard deviation.
    Raises: RangeError for deviations that aren't positive.
    Source: own: sign against sign
    """
    if not min(belief.pinion_deviation, belief.gear_deviation) > 0:
        raise RangeError("standard deviation", belief, "positive standard deviations")
    asked = {d.member: d.move for d in statement.directions}
    pinion = _verdict(asked.get("pinion"), belief.pinion / belief.pinion_deviation)
    gear = _verdict(asked.get("gear"), belief.gear / belief.gear_deviation)
    words = tuple(
        f"the pattern {verdict} with the readings about the {member}"
        for member, verdict in (("pinion", pinion), ("gear", gear))
        if verdict != "silent"
    )
    return Witness(pinion, gear, statement.vetoes_stop, words + statement.words)


def _verdict(move: Move | None, out_by: float) -> Verdict:
    """`out_by`: how far out the readings put the member, in standard deviations."""
    if move is None:
        return "silent"
    asks_out_by = 1 if move == "in" else -1
    return "agrees" if out_by * asks_out_by > 1 else "disagrees"
