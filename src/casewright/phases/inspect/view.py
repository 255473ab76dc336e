"""What inspection shows, piece by piece in bench order: readings, looks, damage, verdicts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from casewright.drive.schema import Feature
from casewright.job.feature_verdicts import FeatureVerdict, feature_verdicts
from casewright.job.kinds import Found, VerdictGiven
from casewright.job.limits import Limits, feature_consequence, limits_of
from casewright.job.measured import earlier_of
from casewright.job.once import once
from casewright.job.prices import read_money
from casewright.job.ratings import Ratings, ratings
from casewright.job.settings import Settings
from casewright.job.state import Kept, KeptReading, State
from casewright.job.tooth_shape import ToothGuess, tooth_guess
from casewright.job.verdicts import (
    PieceVerdict,
    looks,
    piece_verdicts,
    severe_damage,
    tool_verdicts,
)
from casewright.phases.inspect.damages import DamageLine, damage_lines
from casewright.phases.inspect.life import Life, life_of
from casewright.phases.inspect.oddities import Oddity, is_on_bench, oddities
from casewright.phases.inspect.tools import ToolLine, register, tools_for, warning_of
from casewright.phases.inspect.used import (
    PairDuty,
    UsedBearing,
    UsedGear,
    is_bearing,
    meshes_of,
    used_bearing,
    used_gear,
)
from casewright.reasoning.instrument_choice import Suitability
from casewright.reasoning.verdict import Choice
from casewright.tables.damage import damages

UNREAD, READ, LOOKED, NO_LIMIT = "unread", "read", "looked at", "no limit"


@dataclass(frozen=True, slots=True)
class FeatureLine:
    """A feature of a piece: its limits, what was read or seen, which instrument suits.

    `word` is "unread", "read", "looked at" or "no limit" (read, but nothing to hold it against).
    `before` is what an earlier visit read, where this one hasn't yet; `guess` what a new tooth
    would be by standard proportions, where the sheet prints no height.
    """

    feature: Feature
    limits: Limits
    consequence: str
    word: str
    verdict: FeatureVerdict | None = None
    look: Kept[Found] | None = None
    tools: tuple[Suitability, ...] = ()
    warning: str = ""
    life: Life | None = None
    before: KeptReading | None = None
    guess: ToothGuess | None = None

    @property
    def is_look(self) -> bool:
        """Whether it is answered by eye."""
        return self.feature.kind == "look" or (
            self.feature.kind == "thread" and not (self.limits.known or self.feature.thread)
        )

    @property
    def choice(self) -> str:
        """The decision on this feature in words; empty where there is none."""
        found = self.verdict.verdict if self.verdict else None
        return found.choice.value if found else ""


@dataclass(frozen=True, slots=True)
class LaterPiece:
    """A piece that came for a position: its id, origin, features, and what a person said of it."""

    piece: str
    origin: str
    features: tuple[FeatureLine, ...]
    word: Kept[VerdictGiven] | None


@dataclass(frozen=True, slots=True)
class PieceLine:
    """A piece with its features; `tool` is what the tool alone would say of it.

    `later` are pieces that came for its place; `new_key` is free for a feature added at the bench.
    `bearing` and `gears` are what ratings say of using it on. `severe` names damage after which
    only a person may say that it runs again.
    """

    position: str
    piece: str
    name: str
    part: str
    kind: str
    consequence: str
    on_bench: bool
    features: tuple[FeatureLine, ...]
    verdict: PieceVerdict | None
    tool: PieceVerdict | None
    mates: tuple[str, ...]
    one_time: str
    damages: tuple[DamageLine, ...]
    later: tuple[LaterPiece, ...]
    new_key: str = ""
    bearing: UsedBearing | None = None
    rating: Ratings | None = None
    meshes: tuple[PairDuty, ...] = ()
    gears: tuple[UsedGear, ...] = ()
    severe: tuple[str, ...] = ()

    @property
    def open(self) -> tuple[FeatureLine, ...]:
        """Features that nobody has read or looked at, what can be seen by eye first."""
        waiting = [line for line in self.features if line.word == UNREAD]
        return tuple(sorted(waiting, key=lambda line: not line.is_look))

    @property
    def asks_word(self) -> bool:
        """Whether nothing is left to read or look at, and only a person's word can judge it."""
        begun = bool(self.damages) or any(line.word != UNREAD for line in self.features)
        return self.on_bench and self.verdict is None and begun and not self.open

    @property
    def is_settled(self) -> bool:
        """Whether nothing more has to be read: a person or a rule has spoken, or a look has."""
        return self.verdict is not None and (
            self.verdict.decision == "replace" or self.verdict.by != "readings"
        )


@dataclass(frozen=True, slots=True)
class InspectView:
    """Everything that the room shows; `next` is the piece and feature to read now."""

    has_sheet: bool
    pieces: tuple[PieceLine, ...]
    by_rule: tuple[tuple[str, str], ...]
    next: tuple[PieceLine, FeatureLine] | None
    left: int
    waiting: tuple[str, ...]
    tools: tuple[ToolLine, ...]
    oddities: tuple[Oddity, ...]
    today: str
    costs: tuple[tuple[str, str], ...]
    trial: str
    signed: bool
    positions: tuple[tuple[str, str], ...] = ()
    photos: tuple[tuple[str, str], ...] = ()


def view(state: State, settings: Settings) -> InspectView:
    """Inspection of a job as it stands."""
    pieces = tuple(_pieces(state, settings.today))
    following = tuple(_next(pieces))
    return InspectView(
        has_sheet=state.sheet is not None,
        pieces=pieces,
        by_rule=tuple(_by_rule(state, pieces)),
        next=following[0] if following else None,
        left=max(0, len(following) - 1),
        waiting=tuple(p.name for p in pieces if not p.on_bench and p.open and not p.is_settled),
        tools=register(state, settings.today),
        oddities=oddities(state),
        today=settings.today,
        costs=tuple(_costs(state)),
        trial=state.trials[-1] if state.trials else "trial-1",
        signed=state.signed is not None,
        positions=tuple((p.key, p.name) for p in state.lookup.sheet.positions),
        photos=tuple(_photos(state)),
    )


def _photos(state: State) -> Iterator[tuple[str, str]]:
    """Photographs by their hash, with what they show or when they were taken."""
    for kept in state.photos:
        when = kept.happened_at[:16].replace("T", " ")
        yield kept.body.digest, kept.body.about or f"not explained yet, {when}"


def _next(pieces: tuple[PieceLine, ...]) -> Iterator[tuple[PieceLine, FeatureLine]]:
    """What to read, piece by piece; then what has to be read again."""
    bench = [piece for piece in pieces if piece.on_bench and not piece.is_settled]
    for piece in bench:
        for line in piece.open:
            yield piece, line
    for piece in bench:
        for line in piece.features:
            if line.choice == "read again":
                yield piece, line


def _pieces(state: State, today: str) -> Iterator[PieceLine]:
    """Pieces that have features, damage or a verdict that isn't a plain rule's."""
    verdicts, alone = piece_verdicts(state), tool_verdicts(state)
    damaged = damage_lines(state)
    people = {kept.body.position for kept in state.verdicts.values()}
    for position in state.lookup.sheet.positions:
        key = position.key
        features = state.lookup.features_at.get(key, ())
        if not (features or damaged.get(key) or key in people):
            continue
        part = state.lookup.parts[position.part]
        came_in, rolls = state.occupant(key, "as-found"), is_bearing(part.kind)
        pairs = meshes_of(state, key)
        yield PieceLine(
            key, came_in, position.name, part.key, part.kind, part.consequence,
            is_on_bench(state, key),
            tuple(_feature(state, feature, came_in, today) for feature in features),
            verdicts.get(key), alone.get(key), tuple(_mates(state, key)),
            f"never used again {part.one_time_when}".strip() if part.one_time else "",
            damaged.get(key, ()), tuple(_later(state, key, came_in, today)),
            f"bench-{len(state.lookup.sheet.features) + 1}",
            used_bearing(state, key) if rolls else None, ratings(state, key, {}) if rolls else None,
            pairs, tuple(one for pair in pairs if (one := used_gear(state, pair))),
            tuple(_severe(state, key)),
        )  # fmt: skip


def _severe(state: State, position: str) -> Iterator[str]:
    """Severe damage by its name, each once."""
    known = damages()
    names = (kept.body.damage or kept.body.key for kept in severe_damage(state, position))
    for name in dict.fromkeys(names):
        yield known[name].name if name in known else name.replace("-", " ") or "damage"


def _mates(state: State, position: str) -> Iterator[str]:
    for mate in sorted(state.lookup.matched_with.get(position, frozenset()) - {position}):
        yield state.lookup.name_of(mate)


def _feature(state: State, feature: Feature, piece: str, today: str) -> FeatureLine:
    limits = limits_of(state, feature.key)
    assert limits is not None
    found = _judged(state).get((feature.key, piece))
    look = looks(state).get((feature.key, piece))
    tools = tools_for(state, feature, limits, today) if feature.kind != "look" else ()
    return FeatureLine(
        feature, limits, feature_consequence(state, feature), _word(found, look), found, look,
        tools, _warning(state, found),
        life_of(state, found.measured) if found else None,
        None if found else earlier_of(state, feature.key, piece),
        tooth_guess(state.lookup, feature),
    )  # fmt: skip


def _warning(state: State, found: FeatureVerdict | None) -> str:
    """Why the instrument that was used couldn't decide, where the reading proves neither."""
    if found is None or found.verdict is None or found.verdict.choice is not Choice.READ_AGAIN:
        return ""
    item = found.measured
    return warning_of(state, item.feature, item.limits, item.stands.instrument.instrument)


def _judged(state: State) -> dict[tuple[str, str], FeatureVerdict]:
    return once(state, _by_piece)


def _by_piece(state: State) -> dict[tuple[str, str], FeatureVerdict]:
    return {(one.feature.key, one.measured.piece): one for one in feature_verdicts(state)}


def _word(found: FeatureVerdict | None, look: Kept[Found] | None) -> str:
    if found is not None:
        return READ if found.measured.limits.known else NO_LIMIT
    return LOOKED if look is not None else UNREAD


def _later(state: State, position: str, came_in: str, today: str) -> Iterator[LaterPiece]:
    """Pieces that came after, read or not, with their features."""
    features = state.lookup.features_at.get(position, ())
    read = [p for key, p in _judged(state) if p != came_in and _at(features, key)]
    known = [p.id for p in state.pieces.values() if p.position == position and p.id != came_in]
    for piece in dict.fromkeys([*read, *known]):
        lines = tuple(_feature(state, feature, piece, today) for feature in features)
        origin = state.pieces[piece].origin if piece in state.pieces else "not known"
        yield LaterPiece(piece, origin, lines, state.verdicts.get(piece))


def _at(features: tuple[Feature, ...], key: str) -> bool:
    return any(feature.key == key for feature in features)


def _by_rule(state: State, pieces: tuple[PieceLine, ...]) -> Iterator[tuple[str, str]]:
    """Verdicts that follow from rules and harm alone, for pieces without features."""
    shown = {piece.position for piece in pieces}
    for position, verdict in piece_verdicts(state).items():
        if position not in shown and verdict.decision == "replace":
            yield state.lookup.name_of(position), verdict.reason


def _costs(state: State) -> Iterator[tuple[str, str]]:
    """Money that a person gave for this job's verdicts."""
    for name, value in state.settings.items():
        money = name == "comeback-cost" or name.startswith(("price:", "rework-cost:"))
        if money and read_money(value) is not None:
            yield name, value
