"""Bench sums of threads and torque: preload, stripping, the offset adapter, the ring-nut lever."""

from __future__ import annotations

from casewright.errors import InputError, MissingError
from casewright.mechanics.inserts import insert_rework
from casewright.mechanics.preload import PreloadRange, combined_stress, preload_range
from casewright.mechanics.stripping import Stripping, stripping
from casewright.mechanics.threads import breaking_load, proof_margin
from casewright.mechanics.tightening import SURFACE_FRICTION, way_to_turn
from casewright.mechanics.wrench import (
    adapter_setting,
    lever_force,
    spanner_force,
    torque_through_adapter,
)
from casewright.phases.proof.torque_sums import HOUSING_SHEAR, HOUSING_STRENGTH
from casewright.sums.answer import Answer, Levers, Line, Scale, Told
from casewright.tables.property_classes import property_class
from casewright.tables.threads import hexagon_friction_diameter, thread
from casewright.tables.torque_tools import permissible_deviation
from casewright.working import Working

STANDING = "Maker's manual, local codes and licensed practice come first."
HAND = "Pull square and steady at the wrench's mark, feet firm: a slipping tool throws a person."
BAR = "A longer bar breaks lugs and threads before the hand feels it: never above the torque told."


def preload(
    *,
    designation: str,
    torque: float,
    surface: str | None,
    friction_low: float | None,
    friction_high: float | None,
    face: float | None,
    bolt_class: str,
    tool_most: float | None,
) -> Answer:
    """What a torque does to a bolt: preload over the span of friction, against proof and yield.

    Args: thread; torque [N m]; state of the thread or friction least and most [-]; friction
        diameter under the turned face [m]; property class; largest torque of the tool [N m].
    Raises: InputError for a thread or class that no table holds; MissingError for the face.
    """
    this = thread(designation)
    friction = _friction(surface, friction_low, friction_high)
    bearing = face if face is not None else _hexagon(designation)
    tool = permissible_deviation(tool_most, torque) if tool_most else permissible_deviation(torque)
    found = preload_range(designation, torque, friction, bearing, tool)
    lines = [
        Line("Preload", found.low, "force", found.high, lead=True),
        Line("Spread of it", f"± {100 * found.scatter:.0f} % about the middle"),
        Line("Turn to tighten", way_to_turn(designation, "tighten")),
        Line("Pitch", this.pitch, "size"),
    ]
    words = [Told("Friction decides: one torque, a wide span of preload.", "estimate")]
    workings = [("Preload", found.working)]
    scale = None
    if bolt_class:
        more, told, work, scale = _against_proof(designation, bolt_class, found, friction)
        lines, words, workings = [*lines, *more], [*told, *words], [*workings, work]
    else:
        words.append(Told("No class was given: nothing is held against the proof load."))
    return Answer(
        tuple(lines), tuple(words), cautions=(HAND, STANDING), workings=tuple(workings),
        drawing=scale,
    )  # fmt: skip


def _friction(surface: str | None, low: float | None, high: float | None) -> tuple[float, float]:
    if low is not None or high is not None:
        if low is None or high is None or low > high:
            raise InputError("friction_high", high, "least and most friction, the smaller first")
        return low, high
    if surface is None:
        raise MissingError("surface", "the state of the thread", "Or type least and most friction.")
    return SURFACE_FRICTION[surface]


def _hexagon(designation: str) -> float:
    """Face under a hexagon; a ring nut's or another head's must be given."""
    try:
        return hexagon_friction_diameter(designation)
    except InputError as error:
        raise MissingError("face", "the mean diameter of the turned face", error.remedy) from None


def _against_proof(
    designation: str, bolt_class: str, found: PreloadRange, friction: tuple[float, float]
) -> tuple[tuple[Line, ...], tuple[Told, ...], tuple[str, Working], Scale]:
    """The greatest preload against proof load, yield while tightening, and breaking."""
    margin = proof_margin(designation, bolt_class, found.high)
    strengths = property_class(bolt_class, thread(designation).major)
    stress = combined_stress(designation, found.high, strengths.yielding, friction[0])
    name = margin.limit_name
    lines = (
        Line(f"At most, of the {name}", margin.share, "share", lead=True),
        Line(f"At least, of the {name}", found.low / margin.limit_load, "share"),
        Line("Pull and twist together, of yield", stress.yield_share, "share"),
        Line(_big(name), margin.limit_load, "force"),
        Line("Breaks at", breaking_load(designation, bolt_class), "force"),
    )
    told = Told(f"Stays below the {name} over the whole span of friction.", "good")
    if margin.exceeded or stress.exceeded:
        what = name if margin.exceeded else "yield strength, pull and twist together,"
        told = Told(
            f"Above proof: at the lowest friction this torque passes the {what}. Don't use it on "
            "a slicker thread than the sheet says; ask the maker.",
            "bad",
        )
    marks = (("least", found.low), ("most", found.high))
    title = f"Preload against the {name}"
    scale = Scale("force", None, margin.limit_load, marks, title, name)
    return lines, (told,), ("Proof", margin.working), scale


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]


def strip(
    *,
    designation: str,
    engagement: float,
    bolt_class: str,
    parent_strength: float | None,
    parent_shear: float,
    insert: float | None,
) -> Answer:
    """What gives first in a tapped hole: bolt, its thread or the hole; and a thread insert's seat.

    Args: thread; engagement and insert length [m]; class; tensile strength of the housing [Pa]
        and its shear over tensile strength [-].
    Raises: InputError for a thread or class that no table holds.
    """
    bolt = property_class(bolt_class, thread(designation).major).tensile
    metal = parent_strength or HOUSING_STRENGTH
    found = stripping(designation, engagement, bolt, metal, parent_shear)
    loads: tuple[Line, ...] = (
        Line("Bolt breaks at", found.breaking, "force"),
        Line("Bolt's thread strips at", found.external, "force"),
        Line("Hole strips at", found.internal, "force", lead=True),
        Line("Engagement that lets the bolt break first", found.needed_length, "length", lead=True),
    )
    words = [Told(_weak(found), "good" if found.margin >= 1 else "unsure")]
    words += [Told(note) for note in found.notes]
    workings = [("Stripping", found.working)]
    if insert is not None:
        rework = insert_rework(designation, insert, bolt, metal, parent_shear, engagement)
        loads = (*loads, Line("With a thread insert, its seat strips at", rework.insert_strip,
                              "force", lead=True))  # fmt: skip
        words += [Told(note) for note in rework.notes]
        workings.append(("Thread insert", rework.working))
    if parent_strength is None:
        words.append(
            Told("Strength of an ordinary gravity cast Al-Si-Mg housing was taken.", "estimate")
        )
    return Answer(
        loads, tuple(words), cautions=(STANDING,), workings=tuple(workings)
    )  # fmt: skip


def _weak(found: Stripping) -> str:
    return f"First: {found.weakest}; the thread carries {100 * found.margin:.0f} % of the bolt."


DEFAULT_SHEAR = HOUSING_SHEAR


def adapter(*, torque: float, wrench: float, offset: float, angle: float, shown: str) -> Answer:
    """What the wrench must show with an offset adapter, or what it did to the fastener.

    Args: torque [N m] wanted at the fastener or as the wrench read; lengths [m]; angle [rad], 0
        straight ahead, a quarter turn square; "wanted" or "read".
    Raises: RangeError for lengths that make no lever.
    """
    setting = adapter_setting(torque, wrench, offset, angle)
    if shown == "read":
        at = torque_through_adapter(torque, wrench, offset, angle)
        lines = (Line("Torque at the fastener", at, "torque", lead=True),)
        setting = adapter_setting(at, wrench, offset, angle)
    else:
        lines = (Line("Set or read the wrench at", setting.setting, "torque", lead=True),)
    more = Line("Of the torque at the fastener, the wrench shows", setting.ratio, "share")
    words = (
        Told(f"The wrench shows {setting.direction}.", "lead"),
        Told("Square to the wrench an adapter changes nothing."),
    )
    levers = Levers(wrench, offset, angle, "Wrench and adapter, to scale")
    return Answer(
        (*lines, more), words, cautions=(HAND, STANDING), drawing=levers,
        workings=(("Wrench with adapter", setting.working),),
    )  # fmt: skip


def lever(
    *, torque: float, bar: float, angle: float, circle: float | None, contacts: float
) -> Answer:
    """The pull at a bar's end for a ring nut's torque, and what each lug or pin takes.

    Args: torque [N m]; bar and circle of the lugs [m]; angle of pull to bar [rad]; count.
    Raises: RangeError for a pull along the bar.
    """
    if contacts != int(contacts):
        raise InputError("contacts", contacts, "a whole number of lugs or pins")
    pull = lever_force(torque, bar, angle)
    lines = [Line("Pull at the bar's end", pull, "hand", lead=True)]
    spanner = spanner_force(pull, bar, circle or 2 * bar, int(contacts), angle)
    if circle is not None:
        lines.append(Line("On each lug or pin", spanner.contact_force, "force", lead=True))
    words = (Told("One person pulls a few hundred newtons; a longer bar, not a jerk.", "lead"),)
    return Answer(
        tuple(lines), words, cautions=(BAR, HAND, STANDING),
        workings=(("Moment of a force", spanner.working),),
    )  # fmt: skip
