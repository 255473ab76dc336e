"""Bench sums of heat and cold: ring in, shaft chilled, ring out, how long it lasts."""

from __future__ import annotations

import math
from collections.abc import Iterable

from casewright.errors import MissingError
from casewright.mechanics.heat import assembly_temperature
from casewright.mechanics.heat_plans import AssemblyPlan, HeatWindow, plan_assembly, plan_removal
from casewright.mechanics.heat_time import TimeRange, heating_time, working_time
from casewright.phases.proof.fit_plans import DROP_IN, surface_of
from casewright.sums.answer import Answer, Line, Scale, Told
from casewright.tables.heat_sources import HEAT_SOURCES
from casewright.tables.materials import T20, Material, material, mean_expansion
from casewright.tables.temperature_ceilings import (
    CEILINGS,
    RELEASES,
    STANDING,
    Ceiling,
    coolant,
)
from casewright.working import Term, Working


def ceilings_for(hot: Iterable[str], own: float | None) -> tuple[Ceiling, ...]:
    """Ceilings of what gets hot; one of the sheet's own comes with them, and none is left out."""
    found = tuple(CEILINGS[key] for key in hot)
    if own is not None:
        found = (Ceiling("own", "the ceiling that you gave", own, "as given"), *found)
    if not found:
        raise MissingError("hot", "what gets hot with it", "Tick casting, ring, seals, paint.")
    return found


def heat_bore(
    *,
    diameter: float,
    interference: float,
    clearance: float | None,
    hub: str,
    ring: str,
    hot: tuple[str, ...],
    ceiling: float | None,
    mass: float | None,
    soak: float,
) -> Answer:
    """How hot a bore must get for a ring to drop in, against every ceiling, and how long it takes.

    Args: diameter, interference, clearance wanted [m]; materials; keys of ceilings; a ceiling of
        the sheet [K]; mass heated [kg]; time at temperature [s].
    Raises: MissingError where nothing that gets hot is named; RangeError as the formulas.
    """
    wanted = DROP_IN * diameter if clearance is None else clearance
    casting = material(hub)
    plan = plan_assembly(
        interference, wanted, diameter, casting, material(ring), ceilings_for(hot, ceiling), soak
    )
    times = heat_times(casting, plan.window, mass)
    lines = [*_window_lines(plan.window), *_chilled_lines(plan)]
    lines += [_time_line(f"Time: {name}", one) for name, one in times]
    if mass is not None and plan.window.is_open and plan.window.low > T20:
        area = surface_of(mass, casting)
        stay = working_time(
            wanted, diameter, casting, casting.expansion, mass, area, plan.window.low, T20
        )
        lines.append(_time_line("Clearance lasts in still air", stay))
        times = (*times, ("clearance in still air", stay))
    words = [Told(_big(plan.advice) + ".", "lead" if plan.window.is_open else "bad")]
    if mass is None:
        words.append(Told("No mass was given: no heating time."))
    cold = {text for one in plan.chilled for text in one.coolant.cautions} - {STANDING}
    told = [*plan.cautions, *(text for _, one in times for text in one.cautions)]
    return Answer(
        tuple(lines), tuple(words), ceilings=_ceiling(plan.window),
        cautions=tuple(text for text in dict.fromkeys(told) if text not in cold),
        beside=tuple(text for text in dict.fromkeys(told) if text in cold),
        workings=(("Heat window", plan.window.working),
                  *((f"Time: {name}", one.working) for name, one in times)),
        drawing=_scale(plan.window, "Heat window of the hub"),
    )  # fmt: skip


def heat_times(
    hub: Material, window: HeatWindow, mass: float | None
) -> tuple[tuple[str, TimeRange], ...]:
    """Each source's time to the needed temperature; an oven is set to the ceiling, not above."""
    if mass is None or not window.is_open or window.low <= T20:
        return ()
    area, found = surface_of(mass, hub), []
    for source in HEAT_SOURCES.values():
        around = window.high if source.bath else T20
        time = heating_time(mass, area, hub, source, T20, window.low, around)
        found.append((f"{source.name}{', set to the ceiling' if source.bath else ''}", time))
    return tuple(found)


def _window_lines(window: HeatWindow) -> tuple[Line, ...]:
    return (
        Line("Needed", window.low, "temperature", lead=True),
        Line(f"Never above ({window.limiting})", window.high, "temperature", lead=True),
    )


def _chilled_lines(plan: AssemblyPlan) -> tuple[Line, ...]:
    """What a chilled ring leaves for the hub to do."""
    return tuple(
        _chilled_line(f"Hub, with the ring from {one.coolant.name}", one.window)
        for one in plan.chilled
    )


def _chilled_line(name: str, window: HeatWindow) -> Line:
    if window.low <= T20:
        return Line(name, "needs no heat")
    if window.is_open:
        return Line(name, window.low, "temperature")
    return Line(name, "no safe window either")


def _time_line(name: str, time: TimeRange) -> Line:
    if math.isinf(time.quickest):
        return Line(name, "never")
    return Line(name, time.quickest, "lasting", time.slowest)


def _ceiling(window: HeatWindow) -> tuple[Line, ...]:
    return (Line(window.limiting, window.high, "temperature"),)


def _scale(window: HeatWindow, title: str, *more: tuple[str, float]) -> Scale:
    marks = [("shop", T20), *more]
    if math.isfinite(window.low):
        marks.append(("needed", window.low))
    low = window.low if window.is_open else None
    return Scale("temperature", low, window.high, tuple(marks), title, "never above")


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]


def chill_shaft(
    *, diameter: float, interference: float, clearance: float | None, hub: str, ring: str,
    cold: str, hot: tuple[str, ...], ceiling: float | None, mass: float | None,
) -> Answer:  # fmt: skip
    """What a cold bath takes off a shaft or ring, and what is left for the hub to do.

    Args: as `heat_bore`; `cold` is the bath, `mass` the chilled part's [kg].
    Raises: RangeError where a material's cold coefficient isn't known.
    """
    wanted = DROP_IN * diameter if clearance is None else clearance
    bath, part, casting = coolant(cold), material(ring), material(hub)
    expansion = mean_expansion(part, bath.temperature)
    shrink = diameter * expansion * (T20 - bath.temperature)
    plan = plan_assembly(
        interference, wanted, diameter, casting, part, ceilings_for(hot, ceiling), coolants=(bath,)
    )
    window = plan.chilled[0].window
    gap = shrink - interference
    lines = [
        Line("The part shrinks by", shrink, "fine", lead=True),
        Line("Clearance cold, hub at 20 °C" if gap > 0 else "Interference still left", abs(gap),
             "fine", lead=True),
        *_chilled_lines(plan),
    ]  # fmt: skip
    need = float(assembly_temperature(interference, wanted, diameter, casting.expansion))
    lines.append(Line("Hub, with the ring at 20 °C", need, "temperature"))
    workings = [("Chilled part", _shrink_work(diameter, expansion, bath.temperature, shrink))]
    workings.append(("Window of the hub", window.working))
    if mass is not None and gap > 0:
        stay = working_time(
            gap, diameter, part, expansion, mass, surface_of(mass, part), bath.temperature, T20
        )
        lines.append(_time_line("That clearance lasts in still air", stay))
        workings.append(("How long it lasts", stay.working))
    return Answer(
        tuple(lines), (_chill_word(gap, wanted, window),), ceilings=_ceiling(window),
        cautions=tuple(dict.fromkeys((*bath.cautions, *plan.cautions))),
        workings=tuple(workings), drawing=_scale(window, "The hub, with the part cold"),
    )  # fmt: skip


def _chill_word(gap: float, wanted: float, window: HeatWindow) -> Told:
    if gap >= wanted:
        return Told("Cold alone does it: it drops in with the clearance wanted.", "good")
    if gap > 0:
        return Told("It goes in, with less clearance than wanted: be quick, or warm the hub.",
                    "unsure")  # fmt: skip
    if window.is_open:
        return Told("Cold alone isn't enough: warm the hub as well.", "lead")
    return Told("No safe way by cold and heat: press it.", "bad")


def _shrink_work(diameter: float, expansion: float, cold: float, shrink: float) -> Working:
    return Working(
        method="a part chilled from 20 °C",
        formula="shrink = d·α_cold·(20 °C − T)",
        inputs=(
            Term("diameter", diameter, "m", "d"),
            Term("mean coefficient down to the bath", expansion, "1/K", "α_cold"),
            Term("bath", cold, "K", "T"),
        ),
        outputs=(Term("shrink", shrink, "m"),),
        source="linear expansion; the coefficient falls in the cold",
        notes=("Reached only once bubbling stops and the part has soaked through.",),
        estimate=True,
    )


def take_out(
    *, diameter: float, interference: float, clearance: float | None, hub: str, ring: str,
    hot: tuple[str, ...], ceiling: float | None, compound: str | None,
) -> Answer:  # fmt: skip
    """How hot a casting must get to let a ring out: with the ring cold, and once it followed.

    Args: as `heat_bore`; `compound` a key of the compounds that let go only when hot.
    Raises: as `heat_bore`.
    """
    wanted = DROP_IN * diameter if clearance is None else clearance
    release = RELEASES[compound] if compound else None
    plan = plan_removal(
        interference, wanted, diameter, material(hub), material(ring), ceilings_for(hot, ceiling),
        release,
    )  # fmt: skip
    follows, cold = plan.ring_follows, plan.ring_cold
    lines = (
        Line("Casting, once the ring has followed", follows.low, "temperature", lead=True),
        Line("Casting, while the ring is still cold", cold.low, "temperature", lead=True),
        Line(f"Never above ({cold.limiting})", cold.high, "temperature", lead=True),
    )
    tone = "lead" if follows.is_open or cold.is_open else "bad"
    words = (
        Told(_big(plan.advice) + ".", tone),  # type: ignore[arg-type]
        Told("The ring follows the casting: in the end only the difference counts.", "estimate"),
    )
    marks = [("ring cold", cold.low), ("ring followed", follows.low)]
    finite = tuple((name, at) for name, at in marks if math.isfinite(at))
    scale = Scale("temperature", None, cold.high, (("shop", T20), *finite),
                  "Heat to let the ring out", "never above")  # fmt: skip
    return Answer(
        lines, words, ceilings=_ceiling(cold), cautions=plan.cautions, drawing=scale,
        workings=(("Ring still cold", cold.working), ("Ring followed", follows.working)),
    )  # fmt: skip


def clearance_left(
    *, clearance: float, diameter: float, part: str, mass: float, start: float, shop: float
) -> Answer:
    """Seconds before a clearance is gone while a hot or chilled part goes back to shop temperature.

    Args: clearance and diameter [m]; material; mass [kg]; temperatures [K].
    Raises: RangeError as the formula.
    """
    one = material(part)
    expansion = mean_expansion(one, start) if start < T20 and one.cooling else one.expansion
    stay = working_time(
        clearance, diameter, one, expansion, mass, surface_of(mass, one), start, shop
    )
    words = [Told("Once hot and cold part touch, it is seconds: one smooth movement.", "lead")]
    words += [Told(stay.biot_warning + ".", "unsure")] if stay.biot_warning else []
    return Answer(
        (Line("Carried in still air, it lasts", stay.quickest, "lasting", stay.slowest, lead=True),
         Line("Part changes until then by", clearance / (expansion * diameter), "plain", unit="K")),
        tuple(words), cautions=stay.cautions, workings=(("How long it lasts", stay.working),),
    )  # fmt: skip
