"""Choices of a quote from what a shop knows: parts at risk, hours, set-ups, units to buy."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from casewright.errors import FormErrors, RangeError
from casewright.reasoning.quote import Choice, Line, QuoteQuestion, Task, Term
from casewright.reasoning.quote_draws import Chance, Count, Given, Spread

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class PartRisk:
    """A part that may be condemned: price with tax, chance, days to get it, hours it adds."""

    number: str
    price: Decimal
    condemned: Chance | Given
    lead_days: float | Spread = 0.0
    extra_hours: float = 0.0


@dataclass(frozen=True, slots=True)
class Labour:
    """One step of work with its hours [h]."""

    step: str
    hours: Spread


@dataclass(frozen=True, slots=True)
class SetUp:
    """Shim set-up: how many assemblies it takes, and the hours of each [h]."""

    assemblies: Count
    hours_each: Spread


@dataclass(frozen=True, slots=True)
class Shop:
    """Price of an hour, bench hours in a day, freight that is paid in any case."""

    rate: Decimal
    hours_per_day: float
    freight: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Built:
    """A choice with the unknowns that it brings."""

    choice: Choice
    unknowns: Mapping[str, Spread]


def repair(
    parts: Sequence[PartRisk],
    strip: Sequence[Labour],
    rebuild: Sequence[Labour],
    set_up: SetUp,
    shop: Shop,
    certain: Sequence[Line] = (),
    contingency: Decimal = ZERO,
    name: str = "repair",
) -> Built:
    """Repair: Σ price·condemned + rate·(hours + extra·condemned + assemblies·hours each) + freight.

    Parts are ordered once the strip-down is done; the rebuild waits for the last of them, the
    set-up for the rebuild.

    Args:
        parts: parts at risk [currency, day, h].
        strip: steps before the order [h].
        rebuild: steps after it [h].
        set_up: assemblies and hours of each [h].
        shop: rate, hours in a day, freight [currency/h, h/day, currency].
        certain: lines paid in any case, such as one-time parts [currency].
        contingency: share of the mean for what isn't in the lines [-].
        name: of the choice [-].
    Returns:
        the choice and its unknowns [-].
    Valid: one order, one pair of hands.
    Raises: RangeError where a day has no hours.
    Source: common practice: strip, order, rebuild, set up.
    """
    if not shop.hours_per_day > 0:
        raise RangeError("hours per day", shop.hours_per_day, "above zero")
    unknowns: dict[str, Spread] = {}
    lines = [*certain, Line("freight", shop.freight, group="freight")]
    waits = []
    rebuild_days = []
    for part in parts:
        condemned = f"condemned {part.number}"
        unknowns[condemned] = part.condemned
        lines.append(Line(part.number, part.price, (condemned,)))
        if part.extra_hours:
            extra = shop.rate * Decimal(str(part.extra_hours))
            lines.append(Line(f"work on {part.number}", extra, (condemned,), "labour"))
            rebuild_days.append(Term(part.extra_hours / shop.hours_per_day, (condemned,)))
        waits.append(_wait(part, condemned, unknowns))
    for step in (*strip, *rebuild):
        unknowns[f"hours {step.step}"] = step.hours
        lines.append(Line(step.step, shop.rate, (f"hours {step.step}",), "labour"))
    unknowns["set-up assemblies"] = set_up.assemblies
    unknowns["hours each set-up"] = set_up.hours_each
    both = ("set-up assemblies", "hours each set-up")
    lines.append(Line("set-up", shop.rate, both, "set-up"))
    day = 1 / shop.hours_per_day
    rebuild_days += [Term(day, (f"hours {step.step}",)) for step in rebuild]
    tasks = (
        Task("strip-down", tuple(Term(day, (f"hours {step.step}",)) for step in strip)),
        *waits,
        Task("rebuild", tuple(rebuild_days), ("strip-down", *(task.name for task in waits))),
        Task("set-up", (Term(day, both),), ("rebuild",)),
    )
    return Built(Choice(name, tuple(lines), tasks, contingency), unknowns)


def _wait(part: PartRisk, condemned: str, unknowns: dict[str, Spread]) -> Task:
    """Days until a part is here, none where it isn't condemned."""
    name = f"wait for {part.number}"
    if isinstance(part.lead_days, int | float):
        return Task(name, (Term(float(part.lead_days), (condemned,)),), ("strip-down",))
    lead = f"lead {part.number}"
    unknowns[lead] = part.lead_days
    return Task(name, (Term(1.0, (condemned, lead)),), ("strip-down",))


def bought_unit(
    name: str,
    price: Decimal,
    fitting: Spread,
    lead_days: Spread,
    shop: Shop,
    core_deposit: Decimal = ZERO,
    core_refused: Chance | None = None,
    contingency: Decimal = ZERO,
) -> Built:
    """Exchange unit or new leg: price + freight + rate·hours + deposit·(core refused).

    Args:
        name: of the choice, for instance exchange unit or new leg [-].
        price: with tax [currency].
        fitting: hours to fit it [h].
        lead_days: days until it is here [day].
        shop: rate, hours in a day, freight [currency/h, h/day, currency].
        core_deposit: lost where the core is refused [currency].
        core_refused: chance of that [-]; None means that the core surely counts.
        contingency: share of the mean for what isn't in the lines [-].
    Returns:
        the choice and its unknowns [-].
    Valid: one unit.
    Raises: RangeError where a day has no hours.
    Source: common practice: an exchange unit's deposit comes back with a core that is accepted.
    """
    if not shop.hours_per_day > 0:
        raise RangeError("hours per day", shop.hours_per_day, "above zero")
    hours, lead, refused = f"hours {name}", f"lead {name}", f"core refused {name}"
    unknowns: dict[str, Spread] = {hours: fitting, lead: lead_days}
    lines = [
        Line(name, price),
        Line("freight", shop.freight, group="freight"),
        Line("fitting", shop.rate, (hours,), "labour"),
    ]
    if core_refused is not None and core_deposit:
        unknowns[refused] = core_refused
        lines.append(Line("core deposit lost", core_deposit, (refused,), "core"))
    tasks = (
        Task("delivery", (Term(1.0, (lead,)),)),
        Task("fitting", (Term(1 / shop.hours_per_day, (hours,)),), ("delivery",)),
    )
    return Built(Choice(name, tuple(lines), tasks, contingency), unknowns)


def part_out(
    worth: Mapping[str, Decimal],
    parts: Sequence[PartRisk],
    hours: Spread,
    shop: Shop,
    name: str = "part out",
) -> Built:
    """Part out as donor: rate·hours - Σ worth·(1 - condemned); what replaces the leg is not in it.

    Args:
        worth: number to what a usable piece fetches [currency].
        parts: the same parts at risk as in the repair [-].
        hours: to strip, clean and measure [h].
        shop: rate and hours in a day [currency/h, h/day].
        name: of the choice [-].
    Returns:
        the choice and its unknowns [-].
    Valid: pieces that are asked for; a piece nobody wants has no worth.
    Raises: FormErrors for a worth of a number that is not among the parts.
    Source: common practice: usable pieces of a leg not worth mending are kept or sold.
    """
    risks = {part.number: part.condemned for part in parts}
    strange = [
        RangeError(f"worth of {number}", number, "one of the parts at risk")
        for number in worth
        if number not in risks
    ]
    if strange:
        raise FormErrors("part out", strange)
    labour = f"hours {name}"
    lines = [Line("stripping", shop.rate, (labour,), "labour")]
    for number, fetches in worth.items():
        lines.append(Line(f"{number} sold", -fetches, (), "income"))
        lines.append(Line(f"{number} not usable", fetches, (f"condemned {number}",), "income"))
    unknowns: dict[str, Spread] = {f"condemned {each}": risks[each] for each in risks}
    return Built(Choice(name, tuple(lines)), unknowns | {labour: hours})


def together(
    built: Sequence[Built],
    ceiling: Decimal | None = None,
    due_days: float | None = None,
    causes: Mapping[str, Chance] | None = None,
) -> QuoteQuestion:
    """One question from several choices: unknowns of the same name are the same unknown.

    Args:
        built: choices with their unknowns [-].
        ceiling: the owner's [currency], or None.
        due_days: when it should be ready [day], or None.
        causes: parents of `Given` chances, such as a hard strike [-].
    Returns:
        the question [-].
    Valid: any.
    Raises: FormErrors where two choices give one unknown two spreads.
    Source: own: union by name, so that common draws are common.
    """
    unknowns: dict[str, Spread] = dict(causes or {})
    clashes = []
    for each in built:
        for name, spread in each.unknowns.items():
            if unknowns.setdefault(name, spread) != spread:
                clashes.append(RangeError(name, spread, f"{unknowns[name]}, as given before"))
    if clashes:
        raise FormErrors("quote", clashes)
    return QuoteQuestion(unknowns, tuple(each.choice for each in built), ceiling, due_days)
