"""Readings of each assembly: which count, what their mean and doubt are, the waves of six or more.

A reading whose conditions were not all held is kept and not counted. Old parts and one-time parts
make a trial and the final build two things; they are never mixed here.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from casewright.drive.schema import Mesh, Response
from casewright.errors import CasewrightError, MissingError
from casewright.job.gauge_sums import NOTHING_ADDED, GaugeSum, gauge_sum
from casewright.job.limits import shown_of, values_of
from casewright.job.packs import Pack, latest_pack, pack_at
from casewright.job.state import KeptReading, State, occasion_order
from casewright.reasoning.lash_waves import FEWEST_FOR_WAVES, LashWaves, fit_waves, wave_positions

FINAL = "final"
UNREADABLE = "it can't be read"
_CLOCK = re.compile(r"^\s*(\d{1,2})(?:\s*o'?clock)?\s*$", re.I)
_DEGREES = re.compile(
    r"^\s*(?:turn\s*(\d+)\s*[:,]?\s*)?(-?\d+(?:[.,]\d+)?)\s*(?:°|deg\w*)\s*$", re.I
)


@dataclass(frozen=True, slots=True)
class Taken:
    """One reading of a response on an occasion [SI]; `why_not` says why it isn't counted."""

    response: str
    occasion: str
    values: tuple[float, ...]
    at: tuple[str, ...]
    mean: float
    noise: float
    why_not: str
    entry: str
    setting: str = ""
    waves: LashWaves | None = None
    waves_note: str = ""
    half_range: float = 0.0
    half_range_doubt: float = 0.0
    shown: tuple[float, ...] = ()
    added: GaugeSum = NOTHING_ADDED

    @property
    def counts(self) -> bool:
        """Whether it is used."""
        return not self.why_not


def doubt_of(response: Response) -> float:
    """Standard deviation of the gauge [SI]: the sheet's, else half its resolution, else a guess."""
    gauge = response.gauge
    if gauge and gauge.doubt:
        return gauge.doubt.value
    if gauge and gauge.resolution:
        return gauge.resolution.value
    window = next((w for w in response.windows if w.low and w.high), None)
    if window and window.low and window.high:
        return (window.high.value - window.low.value) / 20
    return 1e-5


def taken(state: State, response: Response) -> tuple[Taken, ...]:
    """Every reading of a response, in the order of its occasions."""
    found = [_taken(state, response, kept) for kept in state.readings_of(response.key)]
    return tuple(sorted(found, key=lambda one: occasion_order(one.occasion)))


def _taken(state: State, response: Response, kept: KeptReading) -> Taken:
    body = kept.body
    try:
        shown = shown_of(state, kept)
        added = gauge_sum(state, kept)
        values = values_of(state, kept)
    except CasewrightError as error:
        why = f"{error.field} isn't typed yet" if isinstance(error, MissingError) else UNREADABLE
        return Taken(
            response.key, body.occasion, (), body.at, math.nan, math.inf, why, kept.id
        )  # fmt: skip
    mean = sum(values) / len(values)
    why = why_not(response, body.conditions) if is_build(body.occasion) else ""
    waves, note = _waves(state, response, values, body.at)
    half, half_doubt = _half_range(response, values, waves)
    return Taken(
        response.key, body.occasion, values, body.at, waves.mean if waves else mean,
        _noise(response, values, waves), why, kept.id, body.setting, waves, note, half, half_doubt,
        shown if body.as_shown else (), added,
    )  # fmt: skip


def is_build(occasion: str) -> bool:
    """Trials and the final build: there a reading counts only under its conditions."""
    return occasion_order(occasion) > 0


def why_not(response: Response, held: tuple[str, ...]) -> str:
    """Which of the sheet's conditions were not said to hold; empty when all were."""
    said = {one.strip() for text in held for one in text.split(";")}
    missing = [
        one for one in response.conditions if not {part.strip() for part in one.split(";")} <= said
    ]
    if not missing:
        return ""
    return "not said to hold: " + "; ".join(missing)


def _noise(response: Response, values: tuple[float, ...], waves: LashWaves | None) -> float:
    """Standard deviation of the mean, apart from the gauge's own constant."""
    doubt = doubt_of(response)
    step = response.gauge.resolution.value if response.gauge and response.gauge.resolution else 0
    count = len(values)
    if waves is not None and waves.swing is not None:
        return max(waves.mean_deviation, doubt / 2)
    scatter = doubt
    if count > 2:
        mean = sum(values) / count
        scatter = math.sqrt(sum((v - mean) ** 2 for v in values) / (count - 1))
    return max(math.hypot(scatter, step / math.sqrt(12)) / math.sqrt(count), doubt / 2)


def _half_range(
    response: Response, values: tuple[float, ...], waves: LashWaves | None
) -> tuple[float, float]:
    """How far single readings swing about the mean, where the window counts every reading."""
    if not any(window.counts == "every reading" for window in response.windows):
        return 0.0, 0.0
    if waves is not None and waves.swing is not None:
        return waves.swing, waves.swing_deviation or 0.0
    return (max(values) - min(values)) / 2, doubt_of(response)


def angles_of(labels: tuple[str, ...]) -> tuple[float, ...] | None:
    """Angles [rad] from labels like 12 o'clock, 90° or "turn 2: 60°"; None if one isn't one."""
    found = []
    for label in labels:
        if clock := _CLOCK.match(label):
            found.append(2 * math.pi * (int(clock[1]) % 12) / 12)
        elif degrees := _DEGREES.match(label):
            turn = int(degrees[1] or 1) - 1
            found.append(2 * math.pi * turn + math.radians(float(degrees[2].replace(",", "."))))
        else:
            return None
    return tuple(found)


def _waves(
    state: State, response: Response, values: tuple[float, ...], at: tuple[str, ...]
) -> tuple[LashWaves | None, str]:
    """Waves of gear and pinion from six or more places; why there are none, in words."""
    mesh = state.lookup.meshes.get(response.mesh or "")
    if response.kind != "lash" or mesh is None or not values:
        return None, ""
    if len(values) < FEWEST_FOR_WAVES:
        few = "four places give a mean" if len(values) >= 4 else "under four places is a rough mean"
        return None, f"{len(values)} read: {few}; six or more also tell the waves and the extremes"
    angles = angles_of(at) if len(at) == len(values) else None
    if angles is None:
        return None, "the places aren't told as angles, so the waves can't be told apart"
    try:
        return fit_waves(angles, values, mesh.gear_teeth, mesh.pinion_teeth, doubt_of(response)), ""
    except CasewrightError as error:
        return None, str(error)


def wave_labels(mesh: Mesh | None) -> tuple[str, ...]:
    """Places of the gear at which both waves can be told; empty where the teeth allow none."""
    if mesh is None or mesh.gear_teeth == mesh.pinion_teeth:
        return ()
    return tuple(_label(angle) for angle in wave_positions(mesh.gear_teeth, mesh.pinion_teeth))


def _label(angle: float) -> str:
    turn, rest = divmod(math.degrees(angle) + 1e-6, 360)
    return f"turn {int(turn) + 1}: {rest:.0f}°"


def place_labels(response: Response) -> tuple[str, ...]:
    """Where to read: clock places for a lash, none where the sheet only counts them."""
    if response.kind != "lash":
        return ()
    return {
        1: ("12 o'clock",),
        2: ("12 o'clock", "6 o'clock"),
        3: ("12 o'clock", "4 o'clock", "8 o'clock"),
        4: ("12 o'clock", "3 o'clock", "6 o'clock", "9 o'clock"),
    }.get(
        response.positions,
        tuple(f"{360 * i / response.positions:.0f}°" for i in range(response.positions)),
    )


def trial_pack(state: State, adjuster: str, occasion: str) -> Pack | None:
    """The pack at a trial: its own, else the last one fitted before it, taken as unchanged.

    That is the final build's where this trial opened it again.
    """
    own = pack_at(state, adjuster, occasion)
    if own is not None:
        return own
    earlier = latest_pack(state, adjuster, occasion)
    fitted = state.packs.get(adjuster, {})
    since = fitted[earlier.occasion].sequence if earlier else -1
    if FINAL in fitted and since < fitted[FINAL].sequence < _begun(state, occasion):
        return pack_at(state, adjuster, FINAL)
    return earlier if earlier and is_build(earlier.occasion) else None


def _begun(state: State, occasion: str) -> float:
    """Where in the log an assembly's first pack or reading stands; before all if there is none."""
    found = [packs[occasion].sequence for packs in state.packs.values() if occasion in packs]
    found += [
        kept.sequence
        for kept in state.readings
        if kept.body.occasion == occasion and kept.body.target in state.lookup.responses
    ]
    return min(found, default=-1)
