"""What may be used again: one verdict a piece, from people, the sheet's rules, harm and readings.

A projection that several rooms need: strip protects what isn't condemned, order buys what is,
set-up renews the variance of what was replaced, hand-over checks that it was.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from casewright.drive.schema import Feature
from casewright.job.feature_verdicts import FeatureVerdict, feature_verdicts, renewal_price
from casewright.job.kinds import Decision, Found, VerdictGiven
from casewright.job.once import once
from casewright.job.state import Kept, State
from casewright.reasoning.conformity import Outcome
from casewright.reasoning.verdict import Choice, piece_verdict

READINGS = "readings"


@dataclass(frozen=True, slots=True)
class PieceVerdict:
    """A verdict on the piece in a position: the decision, why, and on whose or what's word."""

    position: str
    piece: str
    decision: Decision
    reason: str
    by: str


def piece_verdicts(state: State) -> Mapping[str, PieceVerdict]:
    """Position to the verdict on the piece that came in there. A person's word stands above all."""
    return once(state, _verdicts)


def tool_verdicts(state: State) -> Mapping[str, PieceVerdict]:
    """The same without what people said of whole pieces: what rules, eyes and readings say."""
    return once(state, _without_people)


def _verdicts(state: State) -> Mapping[str, PieceVerdict]:
    found = {verdict.position: verdict for verdict in (*_by_itself(state), *_people(state))}
    return MappingProxyType(found | dict(_with_matched(state, found)))


def _without_people(state: State) -> Mapping[str, PieceVerdict]:
    found = {verdict.position: verdict for verdict in _by_itself(state)}
    return MappingProxyType(found | dict(_with_matched(state, found)))


def _by_itself(state: State) -> Iterator[PieceVerdict]:
    """What stands without a person's word on the piece, the stronger last."""
    for source in (_measured, _seen_good, _looked, _one_time, _harmed, _destroyed):
        yield from source(state)


def condemned_positions(state: State) -> frozenset[str]:
    """Positions whose piece that came in won't be used again."""
    return frozenset(p for p, v in piece_verdicts(state).items() if v.decision == "replace")


def _verdict(state: State, position: str, decision: Decision, reason: str, by: str) -> PieceVerdict:
    return PieceVerdict(position, state.came_in(position), decision, reason, by)


def looks(state: State) -> Mapping[tuple[str, str], Kept[Found]]:
    """The latest look at each feature on each piece."""
    found = {}
    for kept in state.findings:
        feature = state.lookup.features.get(kept.body.feature)
        if feature is not None and kept.body.look:
            piece = kept.body.piece or state.occupant(feature.position, kept.body.occasion)
            found[feature.key, piece] = kept
    return MappingProxyType(found)


def _came_in_features(state: State) -> Mapping[str, list[FeatureVerdict]]:
    """Measured features of the pieces that came in, by position; those without limits left out."""
    found: dict[str, list[FeatureVerdict]] = {}
    for one in feature_verdicts(state):
        came_in = state.occupant(one.feature.position, "as-found")
        if one.verdict is not None and one.measured.piece == came_in:
            found.setdefault(one.feature.position, []).append(one)
    return found


def _measured(state: State) -> Iterator[PieceVerdict]:
    """What readings say of a piece; "use again" only once all of it was read and looked at."""
    seen = looks(state)
    for position, features in _came_in_features(state).items():
        judged = [one.verdict for one in features if one.verdict]
        choice = piece_verdict(judged, renewal_price(state, position))
        if choice is Choice.USE_AGAIN and (
            _unread(state, position, features, seen) or severe_damage(state, position)
        ):
            continue
        why = _why(features, choice)
        if choice is Choice.USE_AGAIN and (blind := _without_limit(state, position, seen)):
            why = f"{why}; nobody judged, for want of a limit: {', '.join(blind)}"
        yield _verdict(state, position, choice.value, why, READINGS)


def _without_limit(
    state: State, position: str, seen: Mapping[tuple[str, str], Kept[Found]]
) -> tuple[str, ...]:
    """Features of a position that have no limit and were answered by no look, by name."""
    piece = state.occupant(position, "as-found")
    return tuple(
        feature.name
        for feature in state.lookup.features_at.get(position, ())
        if feature.kind != "look"
        and not (feature.low or feature.high)
        and (feature.key, piece) not in seen
    )


def _unread(
    state: State,
    position: str,
    features: list[FeatureVerdict],
    seen: Mapping[tuple[str, str], Kept[Found]],
) -> tuple[Feature, ...]:
    """Features of a position that nobody has judged yet; those without limits don't count."""
    done = {one.feature.key for one in features}
    piece = state.occupant(position, "as-found")
    return tuple(
        feature
        for feature in state.lookup.features_at.get(position, ())
        if feature.key not in done
        and (
            (feature.key, piece) not in seen
            if feature.kind == "look"
            else bool(feature.low or feature.high)
        )
    )


def _why(features: list[FeatureVerdict], choice: Choice) -> str:
    """The features that brought the choice about, by name; or that all are good."""
    named = [one for one in features if one.verdict and one.verdict.choice is choice]
    if not named:
        return "what keeping it would cost on average is more than a new piece"
    if choice is Choice.USE_AGAIN:
        return _why_kept(features)
    said = []
    for one in named:
        verdict = one.verdict
        detail = f" ({verdict.detail})" if verdict and verdict.detail else ""
        said.append(f"{one.feature.name}: {verdict.because if verdict else ''}{detail}")
    return "; ".join(said)


def _why_kept(features: list[FeatureVerdict]) -> str:
    """All of it proved good; or what money alone keeps, with the chance that it is bad."""
    doubted = [
        f"{one.feature.name}: {one.what_if.words}, and that costs least on average"
        for one in features
        if one.verdict and one.what_if and one.verdict.outcome is not Outcome.CONFORMING
    ]
    return "; ".join(doubted) or "every feature that was read is inside its limits"


def _seen_good(state: State) -> Iterator[PieceVerdict]:
    """A piece that the sheet only has looked at, once every look found it good."""
    seen = looks(state)
    for position, features in state.lookup.features_at.items():
        piece = state.occupant(position, "as-found")
        found = [seen.get((feature.key, piece)) for feature in features]
        if not all(feature.kind == "look" for feature in features) or not all(found):
            continue
        answered = [kept for kept in found if kept]
        if answered and not severe_damage(state, position):
            said = dict.fromkeys(kept.body.look for kept in answered)
            reason = f"by eye: {'; '.join(said)}"
            yield _verdict(state, position, "use again", reason, answered[-1].who)


def _looked(state: State) -> Iterator[PieceVerdict]:
    """A look that condemned its piece."""
    for (feature, piece), kept in looks(state).items():
        position = state.lookup.features[feature].position
        if kept.body.look == "replace" and piece == state.occupant(position, "as-found"):
            reason = kept.body.words or f"{state.lookup.features[feature].name}: seen by eye"
            yield _verdict(state, position, "replace", reason, kept.who)


def _one_time(state: State) -> Iterator[PieceVerdict]:
    """One-time parts that are out; those one-time "once driven out" too."""
    out = _taken_out(state)
    for position in state.lookup.sheet.positions:
        part = state.lookup.parts[position.part]
        if part.one_time and position.key in out:
            when = f" {part.one_time_when}" if part.one_time_when else ""
            reason = f"{part.name} is never used again{when}"
            yield _verdict(state, position.key, "replace", reason, "the sheet's rule")


def _taken_out(state: State) -> set[str]:
    return {
        position
        for joint in state.lookup.sheet.joints
        if joint.key in state.steps and state.steps[joint.key].body.outcome != "skipped"
        for position in joint.holds
    }


def _harmed(state: State) -> Iterator[PieceVerdict]:
    for attempts in state.attempts.values():
        for kept in attempts:
            for position in kept.body.harmed:
                reason = f"harmed by {kept.body.rung} at the strip-down"
                yield _verdict(state, position, "replace", reason, kept.who)
    for step in state.steps.values():
        for position in step.body.broke:
            yield _verdict(state, position, "replace", "broken at the strip-down", step.who)


def _destroyed(state: State) -> Iterator[PieceVerdict]:
    for position in state.lookup.positions:
        for kept in _damage(state, position, "destroyed"):
            reason = kept.body.words or kept.body.damage or "destroyed"
            yield _verdict(state, position, "replace", reason, kept.who)


def severe_damage(state: State, position: str) -> tuple[Kept[Found], ...]:
    """Severe damage on the piece that came in: a person alone may say that it runs again."""
    return tuple(_damage(state, position, "severe"))


def _damage(state: State, position: str, severity: str) -> Iterator[Kept[Found]]:
    """Damage of a severity, as it was seen on the piece that came in."""
    came_in = state.occupant(position, "as-found")
    for kept in state.findings:
        body = kept.body
        mine = body.position == position and body.severity == severity and body.answer != "no"
        if mine and (body.piece or state.occupant(position, body.occasion)) == came_in:
            yield kept


def _people(state: State) -> Iterator[PieceVerdict]:
    for kept in _spoken(state):
        body = kept.body
        piece = body.piece or state.came_in(body.position)
        yield PieceVerdict(body.position, piece, body.decision, body.reason, kept.who)


def _spoken(state: State) -> Iterator[Kept[VerdictGiven]]:
    """What people said of the pieces that came in; a word on a new piece is that piece's."""
    for kept in state.verdicts.values():
        position = kept.body.position
        came_in = (state.came_in(position), state.occupant(position, "as-found"))
        if not kept.body.piece or kept.body.piece in came_in:
            yield kept


def _with_matched(
    state: State, found: Mapping[str, PieceVerdict]
) -> Iterator[tuple[str, PieceVerdict]]:
    """A matched set stays or goes together; a person may keep a part of it all the same."""
    people = {kept.body.position for kept in _spoken(state)}
    for group in state.lookup.sheet.matched_sets:
        gone = [p for p in group.positions if p in found and found[p].decision == "replace"]
        if not gone:
            continue
        for position in group.positions:
            if position not in gone and position not in people:
                because = state.lookup.name_of(gone[0])
                reason = f"goes with {because}: {group.name} stay together"
                yield position, _verdict(state, position, "replace", reason, "the sheet's rule")
