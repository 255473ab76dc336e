"""The cheapest orders for what is still to be got, with the runner-ups; solved once a question."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from functools import lru_cache

from casewright.errors import FormErrors, InfeasibleError, UnconvergedError
from casewright.job.prices import read_money
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.phases.order.goods import serves_for
from casewright.reasoning.cover import Cover, cheapest_plan, compare
from casewright.reasoning.cover_greedy import greedy_plan
from casewright.reasoning.cover_need import MatchedSet, Need, Question, Wishes
from casewright.reasoning.cover_plan import Plan
from casewright.reasoning.offers import Catalogue, OfferKind

SECONDS = 3.0
MOST_COMPARED = 25
WHOLE = (OfferKind.EXCHANGE, OfferKind.NEW_LEG)


@dataclass(frozen=True, slots=True)
class Nobody:
    """A need that no offer and no shelf fills, with numbers that are written nearly alike."""

    part: str
    name: str
    count: int
    near: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another way to order; `plan` is None where there is none, `same` where it is the best."""

    name: str
    plan: Plan | None
    same: bool


@dataclass(frozen=True, slots=True)
class Ordering:
    """The plan (None where there is none), why not, what nobody offers, and the runner-ups."""

    question: Question
    plan: Plan | None
    problem: str
    nobody: tuple[Nobody, ...]
    alternatives: tuple[Alternative, ...]
    not_compared: str
    greedy: bool
    digest: str


def order_what(
    state: State,
    settings: Settings,
    catalogue: Catalogue,
    wanted: Mapping[str, int],
    *,
    with_others: bool = True,
) -> Ordering:
    """The cheapest cover of part keys with pieces, as far as anybody offers them."""
    bench = replace(
        catalogue, offers=tuple(each for each in catalogue.offers if each.kind not in WHOLE)
    )
    groups = _sets(state, wanted)
    nobody = _nobody(state, bench, wanted, groups)
    left_out = {each.part for each in nobody}
    needs = tuple(Need(p, Decimal(n)) for p, n in wanted.items() if n and p not in left_out)
    groups = tuple(g for g in groups if not left_out & {number for number, _ in g.pieces})
    question = Question(bench, needs, groups, wishes_of(state, settings, bench))
    plan, problem, greedy = _plan(question) if needs else (None, "", False)
    compared = plan is not None and with_others and not problem and not greedy
    few = len(needs) <= MOST_COMPARED
    return Ordering(
        question=question,
        plan=plan,
        problem=problem,
        nobody=nobody,
        alternatives=_alternatives(question, plan) if compared and few and plan else (),
        not_compared=""
        if not compared or few
        else f"Not compared with other ways: more than {MOST_COMPARED} different parts.",
        greedy=greedy,
        digest=_digest(question),
    )


def wishes_of(state: State, settings: Settings, catalogue: Catalogue) -> Wishes:
    """What owner and shop want, from this job's settings."""
    made = state.settings
    known = {seller.name for seller in catalogue.suppliers}
    named = {
        key: frozenset(n.strip() for n in made.get(key, "").split(",") if n.strip()) & known
        for key in ("barred-suppliers", "preferred-suppliers")
    }
    return Wishes(
        cost_per_day=max(Decimal(0), Decimal(str(settings.waiting_per_day or 0))),
        latest_days=days_left(state, settings),
        budget=read_money(made.get("budget", "")),
        barred=named["barred-suppliers"],
        preferred=named["preferred-suppliers"],
        dearer_elsewhere=read_money(made.get("dearer-elsewhere", "")) or Decimal(0),
        handling=read_money(made.get("handling", "")) or Decimal(0),
        count_late=made.get("reckon-with", "") == "late",
    )


def days_left(state: State, settings: Settings) -> float | None:
    """Days from today to the latest date that the owner set; None where there is none."""
    try:
        last = date.fromisoformat(state.settings.get("latest-date", ""))
        return float(max(0, (last - date.fromisoformat(settings.today)).days))
    except ValueError:
        return None


def _sets(state: State, wanted: Mapping[str, int]) -> tuple[MatchedSet, ...]:
    """Matched sets with a gear in them come whole from one unit; a cup and its cone need not."""
    found: dict[frozenset[tuple[str, int]], MatchedSet] = {}
    taken: set[str] = set()
    for group in state.lookup.sheet.matched_sets:
        places = [state.lookup.positions[p] for p in group.positions if p in state.lookup.positions]
        parts = [state.lookup.parts[place.part] for place in places]
        keys = [part.key for part in parts]
        pieces = tuple((key, keys.count(key)) for key in dict.fromkeys(keys))
        if not any(part.kind == "gear" for part in parts) or taken & set(keys):
            continue
        if any(wanted.get(key) for key in keys):
            taken |= set(keys)
            found.setdefault(frozenset(pieces), MatchedSet(group.name, pieces))
    return tuple(found.values())


def _nobody(
    state: State, catalogue: Catalogue, wanted: Mapping[str, int], groups: Iterable[MatchedSet]
) -> tuple[Nobody, ...]:
    """Needs, and matched sets as a whole, that nothing in the lists or on the shelf fills."""
    units = [dict(each.pieces) for each in catalogue.offers]
    units += [dict(each.pieces) for each in catalogue.shelf if each.quantity > 0]
    offered = {number for unit in units for number in unit}
    found = []
    for part, count in wanted.items():
        if not count:
            continue
        numbers = serves_for(part, catalogue)
        group = next((g for g in groups if part in dict(g.pieces)), None)
        members = [serves_for(number, catalogue) for number, _ in group.pieces] if group else []
        whole = any(all(any(n in unit for n in names) for names in members) for unit in units)
        if offered & set(numbers) and (group is None or whole):
            continue
        name = state.lookup.parts[part].name if part in state.lookup.parts else part
        if group is not None:
            name = f"{name}, in one unit with the rest of the {group.name}"
        near = () if offered & set(numbers) else get_close_matches(part, sorted(offered), 2, 0.75)
        found.append(Nobody(part, name, count, tuple(near)))
    return tuple(found)


@lru_cache(maxsize=64)
def _plan(question: Question) -> tuple[Plan | None, str, bool]:
    """The plan, what stood in the way of the one asked for, and whether it is only greedy."""
    try:
        return cheapest_plan(question, SECONDS), "", False
    except InfeasibleError as error:
        return _free_of_wishes(question, "; ".join(error.obstacles))
    except UnconvergedError:
        return _greedy(question)
    except FormErrors as error:
        return None, error.sentence(), False


def _free_of_wishes(question: Question, why: str) -> tuple[Plan | None, str, bool]:
    """Without the latest date and the budget, so that there is something to talk about."""
    free = replace(question.wishes, latest_days=None, budget=None)
    if free == question.wishes:
        return None, why, False
    try:
        return cheapest_plan(replace(question, wishes=free), SECONDS), why, False
    except (InfeasibleError, UnconvergedError):
        return None, why, False


def _greedy(question: Question) -> tuple[Plan | None, str, bool]:
    """A quick cover where the solver found nothing in time."""
    try:
        return greedy_plan(question), "", True
    except InfeasibleError:
        return None, f"no plan was found in {SECONDS:g} seconds; order by hand, or bar a list", True


@lru_cache(maxsize=64)
def _alternatives(question: Question, plan: Plan) -> tuple[Alternative, ...]:
    """Second best, fewest parcels, soonest, one supplier only."""
    try:
        found = compare(question, SECONDS, plan)
    except (InfeasibleError, UnconvergedError):
        return ()
    ways: tuple[tuple[str, Callable[[Cover], Plan | None]], ...] = (
        ("second best", lambda cover: cover.second),
        ("fewest parcels", lambda cover: cover.fewest_parcels),
        ("soonest", lambda cover: cover.soonest),
        ("one supplier only", lambda cover: cover.one_supplier),
    )
    best = bought(found.best)
    return tuple(
        Alternative(name, plan, plan is not None and bought(plan) == best)
        for name, plan in ((name, way(found)) for name, way in ways)
    )


def bought(plan: Plan) -> dict[str, int]:
    """Offer to units of a plan."""
    return {line.offer.key: line.quantity for parcel in plan.parcels for line in parcel.lines}


def _digest(question: Question) -> str:
    """A short digest of needs, lists and wishes: the plan that an order came from."""
    barred, preferred = sorted(question.wishes.barred), sorted(question.wishes.preferred)
    wishes = replace(question.wishes, barred=frozenset(), preferred=frozenset())
    catalogue = replace(question.catalogue, parts=frozenset())
    text = repr((catalogue, question.needs, question.sets, wishes, barred, preferred))
    return hashlib.sha256(text.encode()).hexdigest()[:16]
