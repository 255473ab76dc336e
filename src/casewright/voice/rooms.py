"""The rooms, in the order of a rebuild: what each is called and what it says about a job."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from casewright.errors import InputError
from casewright.job.fitting import next_trial, to_fit, waits_for_trial
from casewright.job.kinds import ROOMS
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.voice.document import Ask, Document, Field, Picture, Section, Table
from casewright.voice.quantities import Style
from casewright.voice.say_fitting import fitting, folded
from casewright.voice.say_kept import kept_sums
from casewright.voice.schematic import place_of, schematic

TITLES: Mapping[str, str] = {
    "takein": "Take-in",
    "strip": "Strip-down",
    "inspect": "Inspection",
    "cause": "Cause",
    "order": "Order and quote",
    "setup": "Set-up",
    "proof": "Proof",
    "handover": "Hand-over",
}


# Rooms in which pieces are fitted.
BUILDING = ("setup", "proof")


def style_for(state: State, settings: Settings) -> Style:
    """Units shown: what the person likes, else what the sheet is printed in."""
    head = state.lookup.sheet.sheet
    printed = {
        "length": head.lengths_in,
        "torque": head.torques_in,
        "pressure": head.pressures_in,
    }
    return Style({**printed, **settings.units})


def document(room: str, state: State, settings: Settings, *, with_map: bool = True) -> Document:
    """What a room says about a job as it stands."""
    speakers = _speakers()
    if room not in speakers:
        raise InputError("room", room, f"one of {', '.join(ROOMS)}")
    settings = settings.with_job(state.settings)
    said = speakers[room](state, settings, style_for(state, settings))
    if room in BUILDING:
        said = _with_fitting(said, state)
    if room == _home_of_sums(state) and (kept := kept_sums(state)) is not None:
        said = replace(said, sections=(*said.sections, kept))
    if state.opened is not None:
        said = replace(said, sections=(*said.sections, _note(state, room)))
    return replace(said, map=_map(state, said)) if with_map and state.sheet else said


def _home_of_sums(state: State) -> str:
    """The room that shows the sums gone by: proof, or the last of a job that has none."""
    return "proof" if "proof" in state.rooms else "".join(state.rooms[-1:])


def _note(state: State, room: str) -> Section:
    """Every room takes a note in words; they are printed with the first room of the job."""
    rows = tuple((kept.happened_at[:10], kept.who, kept.body.words) for kept in state.notes)
    ask = Ask("note", "A note", "Keep", (Field("words", "In words", "words", needed=True),))
    listed = Table("", ("On", "Who", "Note"), rows, "no note yet")
    return Section("notes", "Notes", (listed, ask) if room == state.rooms[0] else (ask,))


def _speakers() -> Mapping[str, Callable[[State, Settings, Style], Document]]:
    """Each room's view joined with its words; imported here so that asking for help stays quick."""
    from casewright.phases import cause, handover, inspect, order, proof, setup, strip, takein
    from casewright.voice import (
        say_cause,
        say_handover,
        say_inspect,
        say_order,
        say_proof,
        say_setup,
        say_strip,
        say_takein,
    )

    return {
        "takein": lambda state, given, style: say_takein.say(takein.view(state, given), style),
        "strip": lambda state, given, style: say_strip.say(strip.view(state, given), style),
        "inspect": lambda state, given, style: say_inspect.say(inspect.view(state, given), style),
        "cause": lambda state, given, style: say_cause.say(cause.view(state, given), style),
        "order": lambda state, given, style: say_order.say(order.view(state, given), style),
        "setup": lambda state, given, style: say_setup.say(setup.view(state, given), style),
        "proof": lambda state, given, style: say_proof.say(proof.view(state, given), style),
        "handover": lambda state, given, style: say_handover.say(
            handover.view(state, given), style
        ),
    }


def _with_fitting(said: Document, state: State) -> Document:
    """The rooms that build show the new pieces: for trials at set-up, for good at proof."""
    lines, at_setup = to_fit(state), said.room == "setup"
    section = fitting(lines, next_trial(state) if at_setup else "final")
    if section is None:
        return said
    waits = waits_for_trial(state, lines) if at_setup else any(not one.fitted for one in lines)
    if waits:
        return replace(said, sections=(section, *said.sections))
    # What is needed here is in: the list goes below what is read now.
    return replace(said, sections=(*said.sections, folded(section, lines)))


def _map(state: State, said: Document) -> Picture:
    return schematic(state, place_of(state, said.card.position) if said.card else "", said.tags)
