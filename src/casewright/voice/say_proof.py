"""What proof says: the next thing, then fits, torque, sealing, oil, anodes, functional tests."""

from __future__ import annotations

from casewright.phases.proof import ProofView
from casewright.voice.document import Card, Document, Say, Section
from casewright.voice.quantities import Style
from casewright.voice.say_proof_fits import fits_section
from casewright.voice.say_proof_fluids import (
    anode_card,
    anodes_section,
    function_card,
    functions_section,
    oil_card,
    oil_section,
)
from casewright.voice.say_proof_leak import leak_card, leak_section, stop_card
from casewright.voice.say_proof_parts import cautions
from casewright.voice.say_proof_torque import torque_card, torque_section


def say(view: ProofView, style: Style) -> Document:
    """The room's document."""
    standing = Section("cautions", "Before anything", cautions(view.cautions))
    if not view.has_sheet:
        none = Say("No drive sheet is adopted yet: nothing can be held against it.", "gap")
        return Document("proof", "Proof", None, (standing, Section("sheet", "Sheet", (none,))))
    fits = fits_section(view.fits, view.press_tonnes, style)
    early = any(one.opened for one in view.fits)
    sections = (
        *(leak_section(one, style) for one in view.circuits if one.line.stopped),
        *((fits,) if early else ()),
        torque_section(view.torques, style),
        *(leak_section(one, style) for one in view.circuits if not one.line.stopped),
        oil_section(view, style),
        anodes_section(view.anodes, style),
        functions_section(view.functions, style),
        *(() if early else (fits,)),
        standing,
    )
    if not view.circuits:
        gap = Say("No circuits: no sealing test can be judged.", "gap")
        sections = (*sections, Section("leak", "Sealing tests", (gap,)))
    return Document("proof", "Proof", _card(view, style), sections)


def _card(view: ProofView, style: Style) -> Card | None:
    """The next thing, by what the view found."""
    kind, key = view.next
    circuits = {one.line.circuit.key: one for one in view.circuits}
    if kind == "stop":
        return stop_card(circuits[key], style)
    if kind == "leak":
        return leak_card(circuits[key], style)
    if kind == "torque":
        return torque_card(next(one for one in view.torques if one.line.key == key), style)
    if kind == "anode":
        return anode_card(next(a for a, _ in view.anodes if a.anode.key == key), style)
    if kind == "oil":
        return oil_card(view, style)
    if kind == "function":
        return function_card(next(f for f in view.functions if f.test.key == key), style)
    return None
