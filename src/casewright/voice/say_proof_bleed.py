"""The volume of a circuit by a known bleed: its form, and the working once it was measured."""

from __future__ import annotations

from casewright.job.volumes import PREFIX
from casewright.phases.proof import CircuitView
from casewright.voice.document import Ask, Block, Field, Say
from casewright.voice.quantities import Style
from casewright.voice.say_proof_parts import working_fold

HOW = (
    "Hold a low pressure, let air out through the known bleed for a stated time, and read the "
    "gauge before and after, each time at rest. Shut the bleed and see what it loses by itself."
)


def bleed_blocks(view: CircuitView, style: Style) -> tuple[Block, ...]:
    """How it is done, what to type, and the working behind the last one."""
    circuit = view.line.circuit
    ceiling = f" Never above {circuit.ceiling.text}." if circuit.ceiling else ""
    hint = f"as 20 {style.unit('pressure')}"
    fields = (
        Field("inputs.bleed", "Bleed, as air at open air", "text", needed=True,
              hint="as 100 ml/min"),
        Field("inputs.minutes", "Time it was open", "text", needed=True, hint="as 1 min"),
        Field("inputs.before", "Gauge before", "text", needed=True, hint=hint),
        Field("inputs.after", "Gauge after", "text", needed=True,
              hint=f"as 15 {style.unit('pressure')}"),
        Field("inputs.own", "Its own drop in the same time, bleed shut", "text",
              hint=f"as 0 {style.unit('pressure')}"),
        Field("inputs.step", "Smallest step of the gauge", "text", hint="as 0.1 kPa"),
    )  # fmt: skip
    ask = Ask(
        "calculation", f"Volume of the {circuit.name}", "Take this volume", fields,
        {"name": PREFIX + circuit.key, "outputs": {}, "method": "volume by a known bleed",
         "formula": "V = p_a·q·Δt/(Δp − Δp_own)", "source": "Boyle's law"},
        caution=f"Drained case, regulator and relief valve, stand aside of plugs.{ceiling}",
    )  # fmt: skip
    measured = view.line.volume.measured if view.line.volume else None
    if measured is None:
        return Say(HOW), ask
    return Say(HOW), working_fold("How that volume came about", measured.working, style), ask
