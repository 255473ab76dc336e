"""What may be recorded in the order room: lists without mistakes, sums that can be read, stock."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import date

from casewright.errors import InputError
from casewright.job.kinds import OffersImported, Ordered, OwnerSaid, PartsShelved, SettingMade
from casewright.job.prices import currency_of, list_mistakes, price_list, read_money
from casewright.job.state import State

A_SUM = "a sum like 1250 or 1250.50"
SUMS = frozenset({
    "owner-ceiling", "waiting-per-day", "budget", "dearer-elsewhere", "handling", "hourly-rate",
    "comeback-cost",
})  # fmt: skip
SUM_FAMILIES = ("freight-", "price.", "price:", "abandon.", "hire.", "rework-cost:")
SHARES = frozenset({"contingency", "core-refused", "donor-share", "together"})
THREE_POINTS = frozenset({"hours-strip", "hours-rebuild", "hours-setup", "hours-fitting"})


def offers_readable(state: State, body: OffersImported) -> Iterator[InputError]:
    """A list with mistakes is refused with all of them; the lists before it stay in force."""
    yield from list_mistakes(state, body)


def shelf_enough(state: State, body: PartsShelved) -> Iterator[InputError]:
    """Nothing is taken that the shelf doesn't hold; a count puts the shelf right."""
    for place, line in enumerate(body.lines):
        yield from _sum(f"lines.{place}.price", line.price)
    if body.moves != "taken":
        return
    there = {line.number: line.quantity for line in price_list(state).catalogue.shelf}
    taken: dict[str, int] = {}
    for line in body.lines:
        taken[line.number] = taken.get(line.number, 0) + line.count
    for number, count in taken.items():
        if count > there.get(number, 0):
            yield InputError(
                f"shelf, {number}",
                f"{count} taken",
                f"at most {there.get(number, 0):f}, for stock can't be below zero",
                "Count it and record the count first.",
            )


def sums_of_order(_: State, body: Ordered) -> Iterator[InputError]:
    """Prices of an order can be read and aren't below zero."""
    for place, line in enumerate(body.lines):
        yield from _sum(f"lines.{place}.price", line.price)


def sums_of_owner(state: State, body: OwnerSaid) -> Iterator[InputError]:
    """The sum of a yes and the deposit can be read, in the job's currency."""
    yield from _sum("up_to", body.up_to)
    yield from _sum("deposit", body.deposit)
    currency = currency_of(state)
    if (body.up_to or body.deposit) and body.currency != currency:
        yield InputError("currency", body.currency, f"this job's {currency}")


def setting_readable(_: State, body: SettingMade) -> Iterator[InputError]:
    """A setting that is a sum, a share, a date, hours can be read; empty or none takes it back."""
    text = body.value.strip()
    if text.lower() in ("", "none"):
        return
    for names, good, expected in _KINDS:
        if names(body.name) and not good(text):
            yield InputError("value", body.value, expected, "Write none to take it back.")


def _sum(field: str, text: str) -> Iterator[InputError]:
    if text.strip() and read_money(text) is None:
        yield InputError(field, text, f"{A_SUM}, zero or more")


def _is_sum(text: str) -> bool:
    return read_money(text) is not None


def _is_share(text: str) -> bool:
    value = read_money(text.removesuffix("%").strip())
    return value is not None and value <= (100 if text.endswith("%") else 1)


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _is_hours(text: str) -> bool:
    try:
        points = [float(part) for part in text.split("/")]
    except ValueError:
        return False
    return (
        len(points) in (1, 3) and 0 <= points[0] <= points[-1] < 1000 and points == sorted(points)
    )


def _is_hours_a_day(text: str) -> bool:
    try:
        return 0 < float(text) <= 24
    except ValueError:
        return False


def _is_late(text: str) -> bool:
    return text in ("late", "likely")


_KINDS: tuple[tuple[Callable[[str], bool], Callable[[str], bool], str], ...] = (
    (lambda name: name in SUMS or name.startswith(SUM_FAMILIES), _is_sum, f"{A_SUM}, zero or more"),
    (SHARES.__contains__, _is_share, "a share like 10 % or 0.10"),
    (lambda name: name == "latest-date", _is_day, "a date like 2030-05-17"),
    (THREE_POINTS.__contains__, _is_hours, "hours: least/likely/most like 3/4/8, or one number"),
    (lambda name: name == "hours-per-day", _is_hours_a_day, "hours above 0, at most 24"),
    (lambda name: name == "reckon-with", _is_late, "late or likely"),
)

TRADE_CHECKS: Mapping[str, Callable[..., Iterator[InputError]]] = {
    "offers-imported": offers_readable,
    "parts-shelf": shelf_enough,
    "ordered": sums_of_order,
    "owner-said": sums_of_owner,
    "setting": setting_readable,
}
