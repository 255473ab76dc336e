"""Torque at the bench: preload and proof margin of a step, stripping in aluminium, lever force."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from casewright.errors import CasewrightError, RangeError
from casewright.job.torque_log import JointTorque, surface_of
from casewright.mechanics.preload import PreloadRange, preload_range
from casewright.mechanics.stripping import Stripping, stripping
from casewright.mechanics.threads import ProofMargin, proof_margin
from casewright.mechanics.tightening import SURFACE_FRICTION
from casewright.mechanics.wrench import AdapterSetting, adapter_setting, lever_force
from casewright.tables.property_classes import property_class
from casewright.tables.threads import hexagon_friction_diameter, thread
from casewright.tables.torque_tools import permissible_deviation

T = TypeVar("T")

# Own: tensile strength of an ordinary gravity cast Al-Si-Mg housing; its shear ratio (VDI, memory).
HOUSING_STRENGTH, HOUSING_SHEAR = 240e6, 0.70
OWN_FACE = (
    "Preload and proof margin are not judged: {} bears on a face of its own, which no table holds. "
    "The torque is judged. By hand, the bench sum of the preload takes the face's diameter."
)
# Bars that a bench has at hand for ring nuts [m].
BARS = (0.3, 0.5, 1.0)
# A usual adapter and wrench, to show what an offset does [m].
WRENCH, ADAPTER = 0.40, 0.05


@dataclass(frozen=True, slots=True)
class TorqueSum:
    """What the last step of a joint does; parts that the sheet doesn't allow are None, said why."""

    line: JointTorque
    opened: bool
    preload: PreloadRange | None
    proof: ProofMargin | None
    strip: Stripping | None
    strip_share: float | None
    bars: tuple[tuple[float, float], ...]
    adapter: AdapterSetting | None
    notes: tuple[str, ...]


def torque_sum(line: JointTorque, opened: bool) -> TorqueSum:
    """The bench sums of one joint's last torque step."""
    notes: list[str] = []
    steps = line.fasteners.torque_steps
    if not steps:
        said = ("The sheet gives no torque for this joint; none is assumed.",)
        return TorqueSum(line, opened, None, None, None, None, (), None, said)
    nominal = steps[-1].value
    preload = _try(notes, lambda: _preload(line, nominal, notes))
    proof = _try(notes, lambda: _proof(line, preload))
    strip = _try(notes, lambda: _strip(line))
    share = None
    if strip is not None and preload is not None:
        share = preload.high / min(strip.internal, strip.external)
    ring = line.kind == "ring-nut"
    bars = tuple((bar, lever_force(nominal, bar)) for bar in BARS) if ring else ()
    adapter = adapter_setting(nominal, WRENCH, ADAPTER, 0.0)
    return TorqueSum(line, opened, preload, proof, strip, share, bars, adapter, tuple(notes))


def _try(notes: list[str], compute: Callable[[], T | None]) -> T | None:
    """A sum, or None with its reason kept."""
    try:
        return compute()
    except CasewrightError as error:
        notes.append(str(error))
        return None


def _preload(line: JointTorque, nominal: float, notes: list[str]) -> PreloadRange | None:
    surface = surface_of(line.fasteners, line.fasteners.lubricated)
    if surface not in SURFACE_FRICTION:
        return None
    thread(line.designation)
    face = _face(line)
    if face is None:
        notes.append(OWN_FACE.format(line.designation))
        return None
    tool = permissible_deviation(nominal)
    return preload_range(line.designation, nominal, SURFACE_FRICTION[surface], face, tool)


def _face(line: JointTorque) -> float | None:
    """Friction diameter of a plain hexagon; None for a face that no table holds."""
    if line.kind == "ring-nut":
        return None
    try:
        return hexagon_friction_diameter(line.designation)
    except RangeError:
        return None


def _proof(line: JointTorque, preload: PreloadRange | None) -> ProofMargin | None:
    if preload is None or not line.fasteners.property_class:
        return None
    return proof_margin(line.designation, line.fasteners.property_class, preload.high)


def _strip(line: JointTorque) -> Stripping | None:
    """The tapped hole against the bolt, where the sheet says aluminium, engagement and class."""
    f = line.fasteners
    if f.into != "aluminium" or f.engagement is None or not f.property_class:
        return None
    strength = property_class(f.property_class, thread(line.designation).major)
    return stripping(
        line.designation, f.engagement.value, strength.tensile, HOUSING_STRENGTH, HOUSING_SHEAR
    )
