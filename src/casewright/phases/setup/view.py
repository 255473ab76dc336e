"""What set-up shows: where the bench stands, and all that its next step rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from casewright.drive.schema import Adjuster, Response
from casewright.job.bearing_loads import LoadLine, load_lines, meshes_without_duty
from casewright.job.build import FinalReading, final_reading
from casewright.job.gauge_sums import NOTHING_ADDED, GaugeSum, sum_for
from casewright.job.kinds import trial_number
from casewright.job.limits import Limits
from casewright.job.packs import Pack, pack_at
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.mechanics.bevel_lash import Where
from casewright.phases.setup import bearings, pattern
from casewright.phases.setup.advice import Plan, plan
from casewright.phases.setup.assemblies import (
    assemblies_known,
    case_of,
    final_begun,
    fitted_packs,
    model_adjusters,
    with_vetoes,
)
from casewright.phases.setup.dry import DryLine, dry_lines
from casewright.phases.setup.geometry import lash_elsewhere
from casewright.phases.setup.lists import replaced_names, setup_steps, shelf_rows
from casewright.phases.setup.model import LeftOut, Leg, build_leg, window_in_force
from casewright.phases.setup.shelf import Shelf, shelf_for
from casewright.phases.setup.signs import PACKED, Walk, walks
from casewright.phases.setup.trials import (
    FINAL,
    Taken,
    doubt_of,
    place_labels,
    taken,
    trial_pack,
    wave_labels,
)
from casewright.phases.setup.turned import TurnedLine, turned_lines
from casewright.reasoning.lash_waves import common_factor
from casewright.reasoning.shim_choice import ResponseForecast
from casewright.reasoning.shim_prior import Share, variance_shares


@dataclass(frozen=True, slots=True)
class ResponseLine:
    """A response: window, how it is read, all its readings, its forecast as things stand."""

    response: Response
    limits: Limits
    labels: tuple[str, ...]
    wave_labels: tuple[str, ...]
    doubt: float
    readings: tuple[Taken, ...]
    now: tuple[Taken, ...]
    forecast: ResponseForecast | None
    forecast_next: ResponseForecast | None
    shares: tuple[Share, ...]
    left_out: str
    beside: tuple[tuple[Where, float | None, float | None], ...]
    pull: str
    final: FinalReading
    tooth_factor: int = 1
    added: GaugeSum = NOTHING_ADDED
    etched: DryLine | None = None

    @property
    def final_read(self) -> bool:
        """Whether a reading of the final build counts and nothing that moves it came in since."""
        counted = any(one.occasion == FINAL and one.counts for one in self.readings)
        return counted and not self.final.why

    @property
    def as_shown(self) -> bool:
        """Whether the tool adds something to what the gauge shows."""
        gauge = self.response.gauge
        return gauge is not None and bool((gauge.constant and gauge.constant.value) or gauge.etched)

    @property
    def read_now(self) -> bool:
        """Whether a reading of this assembly counts."""
        return any(one.counts for one in self.now)


@dataclass(frozen=True, slots=True)
class PackStep:
    """So many shims out of or into a pack: as marked (`nominal`) and as they measure [m]."""

    action: str
    count: int
    nominal: float
    thickness: float


@dataclass(frozen=True, slots=True)
class SeatLine:
    """A pack adjuster: packs by occasion, what to fit next, whether it is recorded yet.

    `advised_sizes` are as marked, by which a shim is found; `advised_total` as they measure [m].
    """

    adjuster: Adjuster
    as_found: Pack | None
    now: Pack | None
    final: Pack | None
    advised: tuple[str, ...]
    advised_sizes: tuple[float, ...]
    advised_total: float
    change: tuple[PackStep, ...]
    recorded: bool
    why_not: str


@dataclass(frozen=True, slots=True)
class SetupView:
    """Everything that the room shows.

    `stage` is "no sheet", "out of scope", "nothing to set", "signs", "dry", "fit", "read", "turn",
    "again", "change", "stop", "final packs", "final readings", "final outside", "final pattern",
    "done" or "stuck"; `occasion` the assembly that is being fitted or read.
    """

    stage: str
    occasion: str
    sheet_name: str
    walks: tuple[Walk, ...]
    seats: tuple[SeatLine, ...]
    lines: tuple[ResponseLine, ...]
    dry: tuple[DryLine, ...]
    replaced: tuple[tuple[str, str, str], ...]
    shelf: Shelf | None
    shelf_rows: tuple[tuple[str, str, int, str], ...]
    plan: Plan | None
    labels: Mapping[str, str]
    turned: tuple[TurnedLine, ...]
    patterns: tuple[pattern.PatternLine, ...]
    heat: tuple[bearings.HeatLine, ...]
    lives: tuple[bearings.LifeLine, ...]
    bearing_places: tuple[bearings.BearingPlace, ...]
    loads: tuple[LoadLine, ...]
    undutied: tuple[tuple[str, str], ...]
    left_out: tuple[LeftOut, ...]
    steps: tuple[tuple[str, tuple[str, ...]], ...]
    trial_minutes: float
    trial_price: float
    currency: str
    dry_joint: float | None = None

    @property
    def next_dry(self) -> DryLine | None:
        """The dry reading most worth its minutes."""
        return next((line for line in self.dry if line.open), None)

    @property
    def next_reading(self) -> ResponseLine | None:
        """The first response without a reading that counts, in the sheet's order."""
        return next((line for line in self.lines if not line.read_now), None)

    @property
    def next_seat(self) -> SeatLine | None:
        """The first seat whose pack isn't recorded for this assembly."""
        return next((seat for seat in self.seats if not seat.recorded), None)


def view(state: State, settings: Settings) -> SetupView:
    """Set-up of a job as it stands."""
    sheet = state.lookup.sheet
    leg = build_leg(state)
    found_walks = walks(state)
    built, fitting = assemblies_known(state, leg)
    minutes = sum(step.minutes for step in sheet.setup) or 60.0
    price = settings.hourly_rate * minutes / 60
    known_shelf, case = None, None
    if leg is not None:
        known_shelf = shelf_for(
            state, model_adjusters(state, leg), fitted_packs(state, leg, fitting)
        )
        case = case_of(state, leg, known_shelf, found_walks, built, fitting, price)
    first = plan(case) if case else None
    patterns = pattern.pattern_lines(
        state, fitting, first.present if first else (), settings.family
    )
    vetoes = tuple(line.veto for line in patterns if line.veto)
    told = plan(with_vetoes(case, vetoes)) if case and vetoes else first
    lines = _lines(state, leg, told, fitting)
    turned = turned_lines(state)
    seats = _seats(state, leg, known_shelf, told, found_walks, fitting)
    stage, occasion = _stage(state, leg, told, found_walks, seats, lines, turned, patterns, fitting)
    if occasion != fitting:
        seats = _seats(state, leg, known_shelf, told, found_walks, occasion)
    return SetupView(
        stage, occasion, sheet.sheet.name, found_walks, seats, lines,
        leg.dry if leg else dry_lines(state), replaced_names(state), known_shelf, shelf_rows(state),
        told, leg.labels if leg else {}, turned, patterns, bearings.heat_lines(state),
        bearings.life_lines(state), bearings.bearing_places(state), load_lines(state),
        meshes_without_duty(state),
        leg.left_out if leg else (), setup_steps(state), minutes, price,
        state.opened.body.currency if state.opened else "EUR",
    )  # fmt: skip


def _lines(
    state: State, leg: Leg | None, told: Plan | None, occasion: str
) -> tuple[ResponseLine, ...]:
    """Responses in the sheet's set-up order."""
    order = [key for step in state.lookup.sheet.setup for key in step.reads]
    responses = sorted(
        state.lookup.sheet.responses,
        key=lambda r: order.index(r.key) if r.key in order else len(order),
    )
    why = {one.response: one.why for one in (leg.left_out if leg else ())}
    return tuple(_response_line(state, leg, one, told, occasion, why) for one in responses)


def _response_line(
    state: State,
    leg: Leg | None,
    response: Response,
    told: Plan | None,
    occasion: str,
    why: Mapping[str, str],
) -> ResponseLine:
    mesh = state.lookup.meshes.get(response.mesh or "")
    read = taken(state, response)
    limits = window_in_force(state, response)
    best = told.best if told else None
    pull = next(
        (f"{p.force}: {p.how}" if p.how else str(p.force)
         for p in state.lookup.sheet.pulls if p.response == response.key), "",
    )  # fmt: skip
    factor = common_factor(mesh.gear_teeth, mesh.pinion_teeth) if mesh else 1
    return ResponseLine(
        response, limits, place_labels(response),
        wave_labels(mesh) if response.kind == "lash" else (), doubt_of(response), read,
        tuple(one for one in read if one.occasion == occasion),
        _of(told.present if told else (), response.key),
        _of(best.forecasts if best else (), response.key),
        _shares(leg, told, response.key),
        why.get(response.key, ""), _beside(state, response, limits), pull,
        final_reading(state, response), factor, sum_for(state, response.key, occasion),
        _etched(state, response),
    )  # fmt: skip


def _etched(state: State, response: Response) -> DryLine | None:
    """The etched number that the gauge of a response needs."""
    key = response.gauge.etched if response.gauge else None
    return next((line for line in dry_lines(state) if key and line.key == key), None)


def _shares(leg: Leg | None, told: Plan | None, key: str) -> tuple[Share, ...]:
    """What the doubt comes from: piece by piece before a trial, unknown by unknown after it."""
    if leg is None or told is None:
        return ()
    if told.stop is None:
        names = [one.name for one in leg.set_up.responses]
        return variance_shares(leg.dimensions, leg.rows[names.index(key)]) if key in names else ()
    return dict(told.shares).get(key, ())


def _of(found: tuple[ResponseForecast, ...], key: str) -> ResponseForecast | None:
    return next((one for one in found if one.name == key), None)


def _beside(
    state: State, response: Response, limits: Limits
) -> tuple[tuple[Where, float | None, float | None], ...]:
    """The printed window in other measures: at the mean radius, the outer end, as an angle."""
    if response.kind != "lash" or limits.dimension != "length" or not limits.known:
        return ()
    ends = [
        lash_elsewhere(state.lookup, response, end) if end is not None else {}
        for end in (limits.low, limits.high)
    ]
    places = [place for place in (ends[0] or ends[1]) if place != "lever"]
    return tuple((place, ends[0].get(place), ends[1].get(place)) for place in places)


def _seats(
    state: State,
    leg: Leg | None,
    shelf: Shelf | None,
    told: Plan | None,
    found_walks: tuple[Walk, ...],
    occasion: str,
) -> tuple[SeatLine, ...]:
    in_model = leg.set_up.adjusters if leg else ()
    advised = {walk.adjuster.key: walk for walk in found_walks}
    return tuple(
        _seat(state, adjuster, in_model, shelf, told, advised[adjuster.key], occasion)
        for adjuster in state.lookup.sheet.adjusters
        if adjuster.kind in PACKED
    )


def _seat(
    state: State,
    adjuster: Adjuster,
    in_model: tuple[str, ...],
    shelf: Shelf | None,
    told: Plan | None,
    walk: Walk,
    occasion: str,
) -> SeatLine:
    names: tuple[str, ...] = ()
    change: tuple[PackStep, ...] = ()
    shims = {shim.name: shim for shim in (shelf.shims if shelf else ())}
    best = told.best if told else None
    if best and shelf and adjuster.key in in_model:
        pack = best.packs[in_model.index(adjuster.key)]
        names = tuple(name for name, number in sorted(pack.items()) for _ in range(number))
        change = tuple(
            PackStep(one.action, one.count, shims[one.shim].nominal, one.thickness)
            for one in best.changes
            if one.adjuster == adjuster.key
        )
    own = pack_at(state, adjuster.key, occasion)
    before = own if occasion == FINAL else trial_pack(state, adjuster.key, occasion)
    return SeatLine(
        adjuster, pack_at(state, adjuster.key, "as-found"), before,
        pack_at(state, adjuster.key, FINAL), names, tuple(shims[name].nominal for name in names),
        sum(shims[name].thickness for name in names), change, own is not None,
        _why_not(walk, adjuster.key in in_model),
    )  # fmt: skip


def _why_not(walk: Walk, in_model: bool) -> str:
    if walk.against:
        return "the sheet's figure goes against where the pack sits: correct the sheet first"
    if walk.agreed is False:
        return "a person said that it goes the other way: correct the sheet's side first"
    if walk.agreed is None:
        return "its sign isn't confirmed yet"
    return "" if in_model else "it moves nothing that has a window"


def _stage(
    state: State,
    leg: Leg | None,
    told: Plan | None,
    found_walks: tuple[Walk, ...],
    seats: tuple[SeatLine, ...],
    lines: tuple[ResponseLine, ...],
    turned: tuple[TurnedLine, ...],
    patterns: tuple[pattern.PatternLine, ...],
    fitting: str,
) -> tuple[str, str]:
    """Where the bench stands, and on which assembly."""
    if state.sheet is None:
        return "no sheet", fitting
    if state.rooms and "setup" not in state.rooms:
        return "out of scope", fitting
    if not state.lookup.sheet.adjusters and not lines:
        return "nothing to set", fitting
    if final_begun(state):
        return _final_stage(state, lines, seats, patterns), FINAL
    if any(walk.open and not walk.against for walk in found_walks):
        return "signs", fitting
    begun = bool(state.trials and any(line.now for line in lines)) or any(
        seat.recorded for seat in seats
    )
    if not begun and any(line.open for line in (leg.dry if leg else ())):
        return "dry", fitting
    if any(not seat.recorded and seat.advised and not seat.now for seat in seats):
        return "fit", fitting
    if (
        begun
        and fitting != "trial-1"
        and any(not seat.recorded and seat.advised and seat.change for seat in seats)
        and not any(line.now for line in lines)
    ):
        return "fit", fitting
    if any(not line.read_now for line in lines):
        return "read", fitting
    return _judged(told, turned, lines, fitting)


def _judged(
    told: Plan | None,
    turned: tuple[TurnedLine, ...],
    lines: tuple[ResponseLine, ...],
    fitting: str,
) -> tuple[str, str]:
    """All read: turn what is turned, then change, read again or stop."""
    if any(line.way in ("in", "out", "new part") for line in turned):
        return "turn", fitting
    if told is None or told.stop is None:
        judged = [line for line in lines if line.limits.known]
        inside = all(_inside(line) for line in judged)
        return ("stop" if inside and judged else "stuck"), fitting
    word = told.stop.word
    if word == "change packs":
        number = trial_number(fitting) or 1
        return "change", f"trial-{number + 1}"
    return {"stop": "stop", "read again": "again"}[word], fitting


def _inside(line: ResponseLine) -> bool:
    counted = [one for one in line.now if one.counts]
    if not counted:
        return False
    mean, limits = counted[-1].mean, line.limits
    return (limits.low is None or mean >= limits.low) and (
        limits.high is None or mean <= limits.high
    )


def _final_stage(
    state: State,
    lines: tuple[ResponseLine, ...],
    seats: tuple[SeatLine, ...],
    patterns: tuple[pattern.PatternLine, ...],
) -> str:
    if any(seat.final is None and (seat.now or seat.as_found) for seat in seats):
        return "final packs"
    if not all(line.final_read for line in lines):
        return "final readings"
    if any(line.final.word == "outside" for line in lines):
        return "final outside"
    if any(line.veto for line in patterns):
        return "final pattern"
    return "done"
