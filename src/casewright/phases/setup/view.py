"""What set-up shows: where the bench stands, and all that its next step rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from casewright.drive.schema import PACKED, Adjuster, Response
from casewright.job.bearing_loads import LoadLine, load_lines, meshes_without_duty
from casewright.job.build import FinalReading, final_reading
from casewright.job.gauge_sums import NOTHING_ADDED, GaugeSum, sum_for
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
    fitted_packs,
    model_adjusters,
    with_vetoes,
)
from casewright.phases.setup.dry import DryLine, dry_lines
from casewright.phases.setup.geometry import lash_elsewhere
from casewright.phases.setup.lists import replaced_names, setup_steps, shelf_rows
from casewright.phases.setup.model import LeftOut, Leg, build_leg, window_in_force
from casewright.phases.setup.shelf import Shelf, shelf_for
from casewright.phases.setup.signs import Walk, walks
from casewright.phases.setup.stage import following, stage_of
from casewright.phases.setup.trials import (
    FINAL,
    Taken,
    doubt_of,
    place_labels,
    taken,
    trial_pack,
    wave_labels,
)
from casewright.phases.setup.turned import TurnedLine, disturbed_readings, turned_lines
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
    `untold` says that the choice needs its pack and none may be told: a person says what goes in.
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
    untold: bool = False

    @property
    def to_record(self) -> bool:
        """Whether this assembly can't begin before its pack is recorded."""
        return not self.recorded and self.now is None and bool(self.advised or self.untold)


@dataclass(frozen=True, slots=True)
class SetupView:
    """Everything that the room shows.

    `stage` is "no sheet", "out of scope", "nothing to set", "signs", "dry", "fit", "read", "turn",
    "again", "change", "stop", "final packs", "final readings", "final outside", "final pattern",
    "done" or "stuck"; `occasion` the assembly that is being fitted or read,
    `standing` the one that stands on the bench: another while packs are to be changed.
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
    following: str = "trial-1"
    standing: str = "trial-1"

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
        """The seat to fit next: one that can't be told comes first, since the others rest on it."""
        to_fit = [s for s in self.seats if s.to_record or (s.advised and not s.recorded)]
        return next((seat for seat in to_fit if seat.untold), to_fit[0] if to_fit else None)


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
    stage, occasion = stage_of(
        state, leg, told, found_walks, seats, lines, turned, patterns, fitting
    )
    if occasion != fitting:
        seats = _seats(state, leg, known_shelf, told, found_walks, occasion)
    if occasion == FINAL:
        lines = _lines(state, leg, told, occasion)
    return SetupView(
        stage, occasion, sheet.sheet.name, found_walks, seats, lines,
        leg.dry if leg else dry_lines(state), replaced_names(state), known_shelf, shelf_rows(state),
        told, leg.labels if leg else {}, turned, patterns, bearings.heat_lines(state),
        bearings.life_lines(state), bearings.bearing_places(state), load_lines(state),
        meshes_without_duty(state),
        leg.left_out if leg else (), setup_steps(state), minutes, price,
        state.opened.body.currency if state.opened else "EUR", following=following(fitting),
        standing=FINAL if occasion == FINAL else fitting,
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
    disturbed = disturbed_readings(state)
    return tuple(
        _response_line(state, leg, one, told, occasion, why, disturbed) for one in responses
    )


def _response_line(
    state: State,
    leg: Leg | None,
    response: Response,
    told: Plan | None,
    occasion: str,
    why: Mapping[str, str],
    disturbed: Mapping[str, str],
) -> ResponseLine:
    mesh = state.lookup.meshes.get(response.mesh or "")
    read = tuple(
        replace(one, why_not=one.why_not or disturbed.get(one.entry, ""))
        for one in taken(state, response)
    )
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
    best, why_not = told.best if told else None, _why_not(walk, adjuster.key in in_model)
    found, now = pack_at(state, adjuster.key, "as-found"), trial_pack(state, adjuster.key, occasion)
    held = any(pack is not None and pack.sizes for pack in (found, now))
    untold = bool(why_not) and told is not None and adjuster.key in in_model and not held
    if best and shelf and adjuster.key in in_model and not untold:
        pack = best.packs[in_model.index(adjuster.key)]
        names = tuple(name for name, number in sorted(pack.items()) for _ in range(number))
        change = tuple(
            PackStep(one.action, one.count, shims[one.shim].nominal, one.thickness)
            for one in best.changes
            if one.adjuster == adjuster.key
        )
    own = pack_at(state, adjuster.key, occasion)
    return SeatLine(
        adjuster, found, now,
        pack_at(state, adjuster.key, FINAL), names, tuple(shims[name].nominal for name in names),
        sum(shims[name].thickness for name in names), change, own is not None, why_not,
        untold,
    )  # fmt: skip


def _why_not(walk: Walk, in_model: bool) -> str:
    if walk.against:
        return "the sheet's figure goes against where the pack sits: correct the sheet first"
    if walk.agreed is False:
        return "a person said that it goes the other way: correct the sheet's side first"
    if walk.agreed is None:
        return "its sign isn't confirmed yet"
    return "" if in_model else "it moves nothing that has a window"
