"""Why a rung stands where it does: reasons as data, and one function that says them.

Amounts are money unless the reason says otherwise; a face passes its own way to write money.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from casewright.reasoning.chances import said
from casewright.reasoning.ladder import ATTEMPT, PREPARATION, Ladder, Rung, Standing
from casewright.reasoning.ladder_policy import Policy

MOST_PREPARED = 2


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason: its kind, the names it speaks of, and its numbers by name.

    Kinds: price · risks_nothing · already_lost · spares · prepares · learned · runner_up ·
    only_way · beats_stopping.
    """

    kind: str
    names: tuple[str, ...] = ()
    numbers: dict[str, float] = field(default_factory=dict)


def reasons_for(policy: Policy, at: Standing, rung_id: str, chance: float) -> tuple[Reason, ...]:
    """Why the policy does this rung next: its price, what it risks or spares, what was learned.

    Args:
        policy: a solved ladder [-].
        at: where the work stands [-].
        rung_id: the rung that the policy does next [-].
        chance: its chance to release now [-].
    Returns:
        reasons [-], the weightiest first; amounts in money.
    Valid: a rung that is possible from the standing.
    Raises: nothing.
    Source: own: read off the policy's values.
    """
    rung = policy.ladder.rung(rung_id)
    found: list[Reason] = []
    if rung.kind == PREPARATION:
        found += _prepares(policy, at, rung)
    else:
        found += _harm_reasons(policy.ladder, rung, at)
        found += _spares(policy, at, rung)
        found.append(_price(policy, at, rung, chance))
        found += _learned(policy, at, rung, chance)
    return (*found, *_alternatives(policy, at, rung_id))


def _price(policy: Policy, at: Standing, rung: Rung, chance: float) -> Reason:
    """What a try costs and how often it ends the matter."""
    worth = policy.ladder.worth
    spent = rung.minutes * worth.minute + rung.wait * worth.waiting_minute + rung.money
    return Reason("price", (rung.name,), {"minutes": rung.minutes, "cost": spent, "chance": chance})


def _harm_reasons(ladder: Ladder, rung: Rung, at: Standing) -> list[Reason]:
    """Nothing at stake, either because it harms nothing or only what is lost anyway."""
    touched = [piece for piece in ladder.pieces if rung.harm.get(piece.id, 0.0) > 0]
    if any(piece.at_stake > 0 and piece.id not in at.harmed for piece in touched):
        return []
    if not touched:
        return [Reason("risks_nothing", (rung.name,), {"minutes": rung.minutes})]
    names = tuple(piece.name for piece in touched)
    return [Reason("already_lost", names, {"minutes": rung.minutes})]


def _spares(policy: Policy, at: Standing, rung: Rung) -> list[Reason]:
    """The next rung's harm that a release here would spare."""
    following = policy.next_rung(at.then(rung.id))
    if following is None:
        return []
    later = policy.ladder.rung(following)
    stakes = [
        ((later.harm.get(one.id, 0.0) - rung.harm.get(one.id, 0.0)) * one.at_stake, one)
        for one in policy.ladder.pieces
        if one.id not in at.harmed
    ]
    cost, piece = max(stakes, key=lambda one: one[0], default=(0.0, None))
    if piece is None or cost <= 0:
        return []
    numbers = {"chance": later.harm[piece.id], "cost": piece.at_stake}
    return [Reason("spares", (later.name, piece.name), numbers)]


def _prepares(policy: Policy, at: Standing, rung: Rung) -> list[Reason]:
    """The attempts whose chance a preparation raises most, where words can tell the difference."""
    space, found = policy.space, list[Reason]()
    before, after = space.index_of(at.tried), space.index_of((*at.tried, rung.id))
    for other in space.rungs:
        if other.kind != ATTEMPT or other.id not in rung.eases or other.id in space.shut:
            continue
        stuck = policy.steps[space.place[other.id]].stuck
        low, high = 1 - other.breaks - stuck[before], 1 - other.breaks - stuck[after]
        if high > low and said(float(low)) != said(float(high)):
            found.append(Reason("prepares", (other.name,), {"from": float(low), "to": float(high)}))
    by_gain = sorted(found, key=lambda one: one.numbers["from"] - one.numbers["to"])
    return by_gain[:MOST_PREPARED]


def _learned(policy: Policy, at: Standing, rung: Rung, chance: float) -> list[Reason]:
    """How far the failures so far have moved this rung's chance, preparations held as they are."""
    space = policy.space
    level, table = space.stuck_by_grade(space.place[rung.id])
    state = space.index_of(at.tried)
    prior = sum(
        weight * stuck
        for weight, stuck in zip(policy.ladder.prior, table[level[state]].tolist(), strict=True)
    )
    unlearned = max(1.0 - rung.breaks - prior, 0.0)
    if said(unlearned) == said(min(chance, 1.0)):
        return []
    return [Reason("learned", (rung.name,), {"from": unlearned, "to": chance})]


def _alternatives(policy: Policy, at: Standing, rung_id: str) -> list[Reason]:
    """The second best next step, and stopping here."""
    costs, here = policy.cost_by_rung(at), policy.cost_from(at)
    others = {name: cost for name, cost in costs.items() if name != rung_id}
    bits = policy.harm_bits(at.harmed)
    stake = {piece.id: piece.at_stake for piece in policy.ladder.pieces}
    stop = policy.ladder.abandon.cost + sum(
        stake[piece]
        for k, piece in enumerate(policy.at_risk)
        if piece in policy.ladder.abandon.loses and not bits >> k & 1
    )
    saving = Reason("beats_stopping", (policy.ladder.abandon.name,), {"saving": stop - here})
    if not others:
        return [Reason("only_way"), saving]
    second = min(others, key=others.__getitem__)
    name = policy.ladder.rung(second).name
    return [Reason("runner_up", (name,), {"extra": others[second] - here}), saving]


def plain_money(amount: float) -> str:
    """An amount without a currency, rounded to whole units, or to 2 digits under ten.

    Args:
        amount: amount [money].
    Returns:
        the amount as text [-].
    Valid: any finite amount.
    Raises: nothing.
    Source: own: a stand-in until a face passes its own way to write money.
    Example:
        >>> plain_money(127.4), plain_money(4.26)
        ('127', '4.3')
    """
    return f"{amount:.0f}" if abs(amount) >= 10 else f"{amount:.2g}"


def sentence(reason: Reason, money: Callable[[float], str] = plain_money) -> str:
    """A reason as one sentence.

    Args:
        reason: the reason [-].
        money: how an amount is written [-].
    Returns:
        the sentence [-].
    Valid: the kinds that `Reason` lists.
    Raises: KeyError for a kind that is not known.
    Source: own: wording of this project.
    """
    return _SAYINGS[reason.kind](reason.names, reason.numbers, money)


def _say_price(names: tuple[str, ...], of: dict[str, float], money: Callable[[float], str]) -> str:
    return (
        f"It takes {of['minutes']:.0f} min ({money(of['cost'])}) and frees it {said(of['chance'])}."
    )


def _say_lost(names: tuple[str, ...], of: dict[str, float], money: Callable[[float], str]) -> str:
    pieces = " and ".join(names)
    verb = "is" if len(names) == 1 else "are"
    return (
        f"It can only harm the {pieces}, which {verb} lost already, so it costs "
        f"{of['minutes']:.0f} min and risks nothing that you keep."
    )


def _say_extra(names: tuple[str, ...], of: dict[str, float], money: Callable[[float], str]) -> str:
    if of["extra"] < 0.005:
        return f"“{names[0]}” here would cost as much: the listed order decides."
    return f"“{names[0]}” here instead would cost {money(of['extra'])} more on average."


_Saying = Callable[[tuple[str, ...], dict[str, float], Callable[[float], str]], str]
_SAYINGS: dict[str, _Saying] = {
    "price": _say_price,
    "already_lost": _say_lost,
    "runner_up": _say_extra,
    "risks_nothing": lambda n, of, m: "It harms nothing.",
    "spares": lambda n, of, m: (
        f"If it works, the {n[1]} ({m(of['cost'])}) is spared what “{n[0]}” would risk: "
        f"harm {said(of['chance'])}."
    ),
    "prepares": lambda n, of, m: (
        f"It frees nothing itself, but raises “{n[0]}” from {said(of['from'])} to {said(of['to'])}."
    ),
    "learned": lambda n, of, m: (
        f"Its chance was {said(of['from'])} before anything was tried and is {said(of['to'])} now."
    ),
    "only_way": lambda n, of, m: "Nothing else is left to try.",
    "beats_stopping": lambda n, of, m: (
        f"Going on is {m(of['saving'])} cheaper on average than to {n[0]}."
    ),
}
