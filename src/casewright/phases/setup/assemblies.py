"""From the job's entries to the plan's inputs: assemblies in order, shelf, seats that stay."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace

from casewright.drive.schema import Adjuster
from casewright.job.kinds import trial_number
from casewright.job.packs import Pack, pack_at
from casewright.job.state import KeptReading, State
from casewright.phases.setup.advice import Assembly, Case, Names
from casewright.phases.setup.model import Leg, size_doubt_of
from casewright.phases.setup.shelf import Shelf, held_at, named, pack_names
from casewright.phases.setup.signs import Walk
from casewright.phases.setup.trials import FINAL, taken, trial_pack
from casewright.reasoning.shim_stock import PackRules
from casewright.reasoning.shim_update import Reading


def model_adjusters(state: State, leg: Leg) -> tuple[Adjuster, ...]:
    """The pack adjusters of the model, in its order."""
    return tuple(state.lookup.adjusters[key] for key in leg.set_up.adjusters)


def assemblies_known(state: State, leg: Leg | None) -> tuple[tuple[str, ...], str]:
    """Trials whose packs are all recorded, and the one that is being fitted or read now."""
    keys = leg.set_up.adjusters if leg else ()
    trials = [
        occasion
        for occasion in state.trials
        if any(state.packs.get(key, {}).get(occasion) for key in keys) or not keys
        or any(r.body.occasion == occasion for r in _response_readings(state))
    ]  # fmt: skip
    if not trials:
        return (), "trial-1"
    whole = tuple(t for t in trials if keys and all(_has_pack(state, key, t) for key in keys))
    return whole, trials[-1]


def _response_readings(state: State) -> list[KeptReading]:
    keys = set(state.lookup.responses)
    return [r for r in state.readings if r.body.target in keys]


def _has_pack(state: State, adjuster: str, occasion: str) -> bool:
    pack = trial_pack(state, adjuster, occasion)
    return pack is not None and bool(pack.sizes)


def fitted_packs(state: State, leg: Leg, occasion: str) -> tuple[Pack | None, ...]:
    """The packs in the leg on an occasion; None where none is recorded."""
    return tuple(trial_pack(state, key, occasion) for key in leg.set_up.adjusters)


def case_of(
    state: State,
    leg: Leg,
    shelf: Shelf,
    found_walks: tuple[Walk, ...],
    built: tuple[str, ...],
    fitting: str,
    price: float,
) -> Case:
    """The plan's inputs: assemblies in order, the shelf, seats that are fixed already."""
    assemblies, previous = [], dict.fromkeys(leg.set_up.adjusters)
    counts: tuple[tuple[str, int], ...] = ()
    for occasion in built:
        readings = _readings(state, leg, occasion)
        if occasion != fitting and not readings:
            continue
        assembly, packs = _assembly(state, leg, shelf, occasion, previous, readings)
        assemblies.append(assembly)
        previous = dict(packs)
        counts = _sets(readings)
    present = _present(leg, shelf, state, assemblies[-1].occasion if assemblies else "")
    rules = _rules(state, leg, shelf, found_walks, fitting, built, present)
    return Case(
        leg.set_up, leg.offsets, leg.covariance, tuple(assemblies), shelf.shims, rules, present,
        price, (), counts, _choosing(state, leg, found_walks),
    )  # fmt: skip


def _choosing(state: State, leg: Leg, found_walks: tuple[Walk, ...]) -> bool:
    """Whether packs are to be chosen now: signs settled, and the final build not begun."""
    packed = [walk for walk in found_walks if walk.adjuster.key in leg.set_up.adjusters]
    settled = all(walk.agreed is not None or walk.against for walk in packed)
    return settled and any(walk.advised for walk in packed) and not final_begun(state)


def _sets(readings: tuple[Reading, ...]) -> tuple[tuple[str, int], ...]:
    """How often each response was read at this assembly."""
    return tuple(sorted(Counter(r.response for r in readings).items()))


def _readings(state: State, leg: Leg, occasion: str) -> tuple[Reading, ...]:
    """Readings of this assembly that count, for the model."""
    found = []
    for one in leg.set_up.responses:
        response = state.lookup.responses[one.name]
        for read in taken(state, response):
            if read.occasion == occasion and read.counts and read.values:
                found.append(Reading(response.key, read.mean, read.noise, response.key))
    return tuple(found)


def _assembly(
    state: State,
    leg: Leg,
    shelf: Shelf,
    occasion: str,
    previous: Mapping[str, Pack | None],
    readings: tuple[Reading, ...],
) -> tuple[Assembly, dict[str, Pack | None]]:
    """One trial: packs, and how much of each one's deviation is new since the trial before."""
    totals, was, kept, renewed = [], [], [], []
    packs: dict[str, Pack | None] = {}
    for key in leg.set_up.adjusters:
        adjuster = state.lookup.adjusters[key]
        pack = trial_pack(state, key, occasion)
        assert pack is not None
        one = size_doubt_of(adjuster, pack.measured) ** 2
        before, after = previous.get(key), Counter(named(shelf.shims, pack))
        mine = pack_names(shelf, pack)
        totals.append(mine.total if mine and not pack.measured else pack.total)
        stays = (Counter(named(shelf.shims, before)) & after).total() if before else after.total()
        had = len(before.sizes) if before else after.total()
        was.append(had * one)
        kept.append(stays * one)
        renewed.append((after.total() - stays) * one)
        packs[key] = pack
    made = Assembly(occasion, tuple(totals), tuple(was), tuple(kept), tuple(renewed), readings)
    return made, packs


def _present(leg: Leg, shelf: Shelf, state: State, occasion: str) -> tuple[Names, ...] | None:
    """The packs of the last assembly by name; None before there is one."""
    if not occasion:
        return None
    packs = [pack_names(shelf, trial_pack(state, key, occasion)) for key in leg.set_up.adjusters]
    if any(pack is None for pack in packs):
        return None
    return tuple(pack.shims for pack in packs if pack is not None)


def _rules(
    state: State,
    leg: Leg,
    shelf: Shelf,
    found_walks: tuple[Walk, ...],
    fitting: str,
    built: tuple[str, ...],
    present: tuple[Names, ...] | None,
) -> tuple[PackRules, ...]:
    """The sheet's rules; a pack already fitted for this trial, or not to be advised, stays."""
    advised = {walk.adjuster.key: walk.advised for walk in found_walks}
    read = bool(_readings(state, leg, fitting))
    rules = []
    for place, key in enumerate(leg.set_up.adjusters):
        fixed = None
        if not read:
            fixed = pack_names(shelf, pack_at(state, key, fitting))
        if fixed is None and not advised.get(key):
            before = trial_pack(state, key, fitting) or pack_at(state, key, "as-found")
            fixed = pack_names(shelf, before)
        rules.append(held_at(fixed) if fixed else shelf.rules[place])
    return tuple(rules)


def with_vetoes(case: Case, vetoes: tuple[str, ...]) -> Case:
    """The same with witnesses that forbid to stop."""
    return replace(case, vetoes=vetoes)


def final_begun(state: State) -> bool:
    """Whether anything of the final build's set-up was recorded, and no other trial after it."""
    read = _response_readings(state)
    final = [packs[FINAL].sequence for packs in state.packs.values() if FINAL in packs]
    final += [kept.sequence for kept in read if kept.body.occasion == FINAL]
    trials = [
        kept.sequence
        for packs in state.packs.values()
        for occasion, kept in packs.items()
        if trial_number(occasion) is not None
    ]
    # A pack fitted for another trial after it, or its first reading, opens the build again.
    first: dict[str, int] = {}
    for kept in read:
        if trial_number(kept.body.occasion) is not None:
            first.setdefault(kept.body.occasion, kept.sequence)
    return bool(final) and max(final) > max([*trials, *first.values()], default=0)
