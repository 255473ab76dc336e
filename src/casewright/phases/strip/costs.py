"""What losing a piece costs on this job, where the figure comes from, and why it may be nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from casewright.drive.schema import Part
from casewright.job.prices import price_list, read_money
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.job.verdicts import condemned_positions
from casewright.reasoning.offers import OfferKind

# Invented for this project, in whole units of the job's currency, only to rank the methods until a
# price list, the sheet or a person says better. By kind of part, else by its consequence class.
BY_KIND: Mapping[str, float] = {
    "housing": 900, "propeller": 350, "gear": 280, "shaft": 260, "carrier": 220, "clutch": 180,
    "ring": 90, "pump": 80, "bearing": 70, "cup": 45, "cone": 60, "needle-bearing": 30, "nut": 15,
    "seal": 12, "o-ring": 5, "gasket": 5, "washer": 5, "fastener": 4, "pin": 20, "bush": 25,
}  # fmt: skip
BY_CONSEQUENCE: Mapping[str, float] = {"safety": 300, "breakdown": 150, "nuisance": 30}
DEFAULT = "assumed by kind of part, invented"


# Where nobody has said what a day of waiting costs, it counts as half a bench hour, so that a night
# of soaking isn't free: an estimate of this project, no source.
WAITING_HOURS = 0.5


def waiting_day(settings: Settings) -> float:
    """What a day of waiting costs [money]: as said, else half a bench hour, assumed."""
    if settings.waiting_per_day is None:
        return WAITING_HOURS * settings.hourly_rate
    return settings.waiting_per_day


@dataclass(frozen=True, slots=True)
class Loss:
    """What losing a piece costs [money of the job] and where the figure comes from.

    `spared_why` says why nothing is at stake; "" where something is.
    """

    position: str
    name: str
    price: float
    basis: str
    spared_why: str = ""

    @property
    def at_stake(self) -> float:
        """What harm to it costs on this job [money]."""
        return 0.0 if self.spared_why else self.price


class Losses:
    """Losses by position for one state; the price list is read once."""

    def __init__(
        self, state: State, coming_out: frozenset[str], waiting_per_day: float = 0.0
    ) -> None:
        self.state = state
        self.coming_out = coming_out
        self.condemned = condemned_positions(state)
        self.waiting = waiting_per_day
        self.offered = _offered(state, waiting_per_day)

    def of(self, position: str) -> Loss:
        """The loss of the piece in a position, all of its pieces where it holds several."""
        place = self.state.lookup.positions[position]
        part = self.state.lookup.part_at(position)
        price, basis = self._price(part)
        spared = self._spared(position, part)
        return Loss(position, place.name, price * place.quantity, basis, spared)

    def _spared(self, position: str, part: Part) -> str:
        if position in self.condemned:
            return "condemned already"
        if part.one_time and position in self.coming_out:
            return f"never used again {part.one_time_when}".strip()
        return ""

    def _price(self, part: Part) -> tuple[float, str]:
        said = read_money(self.state.settings.get(f"price.{part.key}", ""))
        if said is not None:
            return float(said), "set for this job"
        for number in (part.key, part.part_number):
            if number and number in self.offered:
                total, days = self.offered[number]
                wait = f", with {days:.0f} days' wait" if self.waiting and days else ""
                return total, f"price list{wait}"
        printed = read_money(part.price) if part.price else None
        if printed is not None:
            return float(printed), "the sheet"
        default = BY_KIND.get(part.kind, BY_CONSEQUENCE[part.consequence])
        return default, DEFAULT


def _offered(state: State, waiting_per_day: float) -> dict[str, tuple[float, float]]:
    """Number to (price with its delay, days) of the cheapest new single piece offered."""
    found: dict[str, tuple[float, float]] = {}
    if not state.offers:
        return found
    for offer in price_list(state).catalogue.offers:
        pieces = tuple(offer.pieces)
        if offer.kind in (OfferKind.SINGLE, OfferKind.HOUSING) and len(pieces) == 1:
            number, in_one = pieces[0]
            total = float(offer.price) / in_one + offer.lead_days * waiting_per_day
            if number not in found or total < found[number][0]:
                found[number] = (total, offer.lead_days)
    return found
