"""The quote: ways to go side by side, how the range narrowed, what moves it and narrows it."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from casewright.job.prices import read_money
from casewright.phases.order import PART_OUT, REPAIR, AtRisk, ChoiceLine, OrderView, Quoting
from casewright.reasoning.quote_stages import as_money
from casewright.voice.document import (
    Ask,
    Block,
    Cell,
    Facts,
    Fold,
    Link,
    Say,
    Table,
)
from casewright.voice.draw_range import RangeBar, draw_movers, draw_ranges, write_sum
from casewright.voice.quantities import say_chance, say_minutes
from casewright.voice.say_order_words import about, money

STANDING = "Common draws for all ways; the range holds as far as the chances put in hold."


def quote(view: OrderView) -> tuple[Block, ...]:
    """The ways side by side, drawings, and the form that keeps what was told."""
    quoting = view.quoting
    if quoting is None:
        return (Say(_no_quote(view)), *_told_only(view))
    return (
        Say(_lead(view, quoting), "estimate"),
        *_gaps(quoting),
        Fold("The ways side by side", (side_by_side(view, quoting),), open=True, wide=True),
        draw_ranges(_bars(quoting), view.currency, "The ways to go", _ceiling(quoting)),
        *narrowed(view, quoting),
        *_what_moves_it(view, quoting),
        Fold("What the range rests on", tuple(_rests_on(view, quoting))),
        *_told_asks(view, quoting),
        Link("Quote for the owner as PDF", "paper:quote.pdf"),
        Link("Quote for the owner as HTML", "paper:quote.html"),
    )


def _no_quote(view: OrderView) -> str:
    if view.signed:
        return "The job is signed off; its range isn't drawn any more."
    if not view.has_sheet:
        return "No drive sheet yet, so nobody can say what may be condemned: no range."
    return "No range without a price: paste a price list."


def _lead(view: OrderView, quoting: Quoting) -> str:
    line = quoting.choice(REPAIR)
    assert line is not None
    cost = line.quoted.cost
    over = ""
    if cost.chance_over is not None and quoting.ceiling is not None:
        ceiling = write_sum(float(quoting.ceiling))
        over = f" It passes the owner's {ceiling} {view.currency}: {say_chance(cost.chance_over)}."
    return (
        f"Repair, {quoting.stage}: even chance {about(cost.even_chance, view.currency)}, one in "
        f"ten dearer than {write_sum(cost.one_in_ten_above)}. As likely ready by "
        f"{line.ready_even} as later, one in ten later than {line.ready_late}.{over}"
    )


def _gaps(quoting: Quoting) -> Iterator[Block]:
    if quoting.unpriced:
        names = ", ".join(quoting.unpriced[:4])
        more = f" and {len(quoting.unpriced) - 4} more" if len(quoting.unpriced) > 4 else ""
        yield Say(f"Nobody says a price of {names}{more}: if needed, they come on top.", "unsure")


def side_by_side(view: OrderView, quoting: Quoting) -> Table:
    """One column for each way, one row for each measure."""
    lines, currency = quoting.choices, view.currency
    rows: list[tuple[Cell | str, ...]] = [
        ("Even chance", *(about(each.quoted.cost.even_chance, currency) for each in lines)),
        ("Mean", *(about(each.quoted.cost.mean, currency) for each in lines)),
        ("One in ten dearer than", *(_dear(each, currency) for each in lines)),
        ("Ready, even chance", *(each.ready_even or "no date" for each in lines)),
        ("One in ten later than", *(each.ready_late or "no date" for each in lines)),
        ("Cheapest of those that mend", *(_cheapest(each) for each in lines)),
        ("Contingency beside it", *(_contingency(each, currency) for each in lines)),
    ]  # fmt: skip
    if quoting.ceiling is not None:
        title = f"Passes {write_sum(float(quoting.ceiling))} {currency}"
        rows.insert(3, (title, *(_passes(each) for each in lines)))
    return Table("", ("", *(each.name for each in lines)), tuple(rows))


def _dear(each: ChoiceLine, currency: str) -> str:
    return about(each.quoted.cost.one_in_ten_above, currency)


def _passes(each: ChoiceLine) -> str:
    over = each.quoted.cost.chance_over
    return "" if over is None else say_chance(over)


def _cheapest(each: ChoiceLine) -> str:
    if each.name == PART_OUT:
        return "what replaces the leg isn't in it"
    return "alone" if each.cheapest is None else say_chance(each.cheapest)


def _contingency(each: ChoiceLine, currency: str) -> str:
    return f"{write_sum(each.quoted.contingency)} {currency}" if each.quoted.contingency else "none"


def _ceiling(quoting: Quoting) -> float | None:
    return None if quoting.ceiling is None else float(quoting.ceiling)


def _bars(quoting: Quoting) -> list[RangeBar]:
    return [
        RangeBar(
            each.name,
            each.quoted.cost.one_in_ten_below,
            each.quoted.cost.even_chance,
            each.quoted.cost.one_in_ten_above,
        )
        for each in quoting.choices
        if each.name != PART_OUT
    ]


# ---- how it narrowed ------------------------------------------------------------------------


def _earlier(view: OrderView) -> list[RangeBar]:
    """Quotes as told to the owner, oldest first; those whose sums can't be read are left out."""
    found = []
    for kept in view.told:
        body = kept.body
        likely, dear = read_money(body.likely), read_money(body.one_in_ten)
        low = read_money(str(body.snapshot.get("one_in_ten_below", "")))
        if likely is not None and dear is not None and body.currency == view.currency:
            label = f"{kept.happened_at[:10]}, {body.stage}"
            below = None if low is None else float(low)
            found.append(RangeBar(label, below, float(likely), float(dear), earlier=True))
    return found


def narrowed(view: OrderView, quoting: Quoting) -> Iterator[Block]:
    """The present range of the repair with the earlier ones behind it."""
    behind = _earlier(view)
    now = quoting.choice(REPAIR)
    if not behind or now is None:
        return
    cost = now.quoted.cost
    bar = RangeBar(f"now, {REPAIR}", cost.one_in_ten_below, cost.even_chance, cost.one_in_ten_above)
    yield draw_ranges(
        [*behind, bar],
        view.currency,
        "How the range moved since it was first told",
        _ceiling(quoting),
    )
    last = behind[-1]
    if cost.even_chance > last.high:
        yield Say(
            "The even chance is now over what was told as one in ten dearer: tell the owner.", "bad"
        )


def _told_only(view: OrderView) -> Iterator[Block]:
    if bars := _earlier(view):
        yield draw_ranges(bars, view.currency, "Ranges as they were told")


# ---- what moves it --------------------------------------------------------------------------


def _what_moves_it(view: OrderView, quoting: Quoting) -> Iterator[Block]:
    """Unknowns and looks, folded where there is no room."""
    inside = (*_movers(view, quoting), *_looks(view, quoting))
    if inside:
        title = "What moves the range, and which look would narrow it"
        yield Fold(title, inside, open=True, wide=True)


def _movers(view: OrderView, quoting: Quoting) -> Iterator[Block]:
    rows = [
        (
            _plain(name),
            m.variance_share,
            f"{write_sum(m.mean_at_low)} to {write_sum(m.mean_at_high)}",
        )
        for name, m in quoting.movers[:5]
    ]
    if rows:
        yield draw_movers(
            rows, f"What moves the range most: mean in {view.currency} at its low and high end"
        )


def _plain(name: str) -> str:
    return {
        "set-up assemblies": "assemblies of the set-up",
        "hours each set-up": "hours of each set-up",
        "lead orders to place": "days until the orders are here",
    }.get(name, name.removeprefix("condemned "))


def _looks(view: OrderView, quoting: Quoting) -> Iterator[Block]:
    rows = tuple(
        (
            name,
            say_minutes(look.minutes),
            f"{write_sum(look.narrows)} {view.currency}",
            f"{write_sum(look.worth)} {view.currency}" if look.worth >= 1 else "nothing",
        )
        for name, look in quoting.looks
    )
    if rows:
        columns = ("Look at", "Takes", "Narrows the spread by", "Saves by choosing better")
        yield Table("Which look would narrow it, on average", columns, rows)
        yield Link("Go to the inspection", "inspect")


def _rests_on(view: OrderView, quoting: Quoting) -> Iterator[Block]:
    """Chances, prices, hours and shares as put in: all estimates until a person sets them."""
    rows = tuple(
        (
            risk.name,
            Cell(say_chance(risk.chance), "" if risk.said else "unsure", _before(risk)),
            money(risk.priced.price, view.currency) if risk.priced else "nobody says",
        )
        for risk in quoting.risks
    )
    yield Table("May be condemned", ("What", "Chance", "Price"), rows, "nothing is undecided")
    yield from together(quoting)
    if quoting.guessed:
        yield Say(
            "Hatched chances aren't in the sheet: seldom (1 in 10), or half where a part may have "
            "to be driven out.", "estimate",
        )  # fmt: skip
    work = [
        (step.step, _hours(step.hours)) for step in (*quoting.work.strip, *quoting.work.rebuild)
    ]
    work.append(("set-up, each assembly", _hours(quoting.work.set_up.hours_each)))
    chances = zip(
        quoting.work.set_up.assemblies.values, quoting.work.set_up.assemblies.chances, strict=True
    )
    work.append(
        ("assemblies still to come", ", ".join(f"{n:g}: {100 * c:.0f} %" for n, c in chances))
    )
    work.insert(0, ("worked so far", f"{quoting.work.hours_so_far:.1f} h"))
    yield Facts(tuple(work), "Hours: least, likely, most")
    share = f"{100 * quoting.contingency:.0f} % of the mean"
    yield Facts(
        (
            ("Contingency", f"{share}, for what is in no line; beside the range, never in it"),
            ("Draws", f"{quoting.draws} from seed {quoting.seed}: {STANDING}"),
            ("Not in it", "the owner's waiting; a second freight; harm done while stripping"),
            ("Days", "counted through, without weekends; lead times as the lists say"),
            ("Source", "Monte Carlo (JCGM 101), longest path for the day; chances estimated"),
        ),
        "How it was drawn",
    )  # fmt: skip


def _before(risk: AtRisk) -> str:
    """What the sheet alone said, where the verdicts so far have moved it."""
    moved = abs(risk.chance - risk.sheet_chance) >= 0.005
    return f"{say_chance(risk.sheet_chance)} before anything was seen" if moved else ""


def together(quoting: Quoting) -> Iterator[Block]:
    """That damage comes together, and what the verdicts so far say of it, unit by unit."""
    found = {risk.trouble.unit: risk.trouble for risk in quoting.risks if risk.trouble}
    if not found:
        if quoting.risks:
            yield Say("Each piece counts as condemned on its own: no damage that comes together.")
        return
    yield Say(
        "Damage comes together: pieces of one unit share a trouble (a strike, water) that "
        "condemns several at once. Each keeps the sheet's chance until something there is judged; "
        "then the others follow. How much comes together is assumed.", "estimate",
    )  # fmt: skip
    rows = tuple(
        (one.name, say_chance(one.chance), f"{one.condemned} condemned, {one.good} good")
        for one in found.values()
    )
    yield Table("Trouble that a unit's pieces share", ("Unit", "Chance now", "Judged there"), rows)


def _hours(spread: object) -> str:
    low, likely, high = (getattr(spread, name) for name in ("low", "likely", "high"))
    return f"{low:.1f} / {likely:.1f} / {high:.1f} h"


# ---- told to the owner ----------------------------------------------------------------------


def ask_quoted(view: OrderView, line: ChoiceLine) -> Ask:
    """Keeps a range as told to the owner, so that the next one is drawn over it."""
    assert view.quoting is not None
    cost = line.quoted.cost
    unit = Decimal(10) if abs(cost.even_chance) >= 1000 else Decimal(1)
    likely, dear, low = (
        str(as_money(value, unit))
        for value in (cost.even_chance, cost.one_in_ten_above, cost.one_in_ten_below)
    )
    snapshot = {
        "one_in_ten_below": low,
        "mean": str(as_money(cost.mean, unit)),
        "contingency": str(as_money(line.quoted.contingency, unit)),
        "chance_over_ceiling": cost.chance_over,
        "ceiling": None if view.quoting.ceiling is None else str(view.quoting.ceiling),
        "draws": view.quoting.draws,
        "seed": str(view.quoting.seed),
        "plan": view.ordering.digest,
    }
    return Ask(
        "quoted",
        f"{line.name}: even chance {likely}, one in ten over {dear} {view.currency}",
        "Told the owner",
        (),
        {
            "stage": view.quoting.stage, "choice": line.name, "likely": likely, "one_in_ten": dear,
            "currency": view.currency, "ready_by": line.ready_even, "snapshot": snapshot,
        },
    )  # fmt: skip


def _told_asks(view: OrderView, quoting: Quoting) -> Iterator[Block]:
    """One form for each way; folded, for the card asks when it is time to tell."""
    ways = tuple(ask_quoted(view, each) for each in quoting.choices if each.name != PART_OUT)
    yield Fold("Told the owner what it may cost", ways)


def told_lately(view: OrderView) -> bool:
    """Whether the owner was told a range that still stands: the same even chance within a tenth."""
    now = view.quoting.choice(view.owner.plan) if view.quoting else None
    if now is None or not view.told:
        return bool(view.told)
    last = read_money(view.told[-1].body.likely)
    even = now.quoted.cost.even_chance
    return last is not None and abs(float(last) - even) <= 0.1 * abs(even)
