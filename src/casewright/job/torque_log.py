"""The torque record of the final build against the sheet, joint by joint and step by step.

Adapter and tool are taken into account; what is missing, out of order or above proof is named.
Proof and hand-over both read it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from casewright.drive.schema import Fasteners, Joint
from casewright.errors import CasewrightError, MissingError
from casewright.job.kinds import Torqued
from casewright.job.state import Kept, State
from casewright.mechanics.tightening import (
    INSIDE,
    NOT_IN_SHEET,
    NOT_PROVEN,
    OUTSIDE,
    TorqueAudit,
    TorqueRecord,
    TorqueRule,
    audit_order,
    audit_torque,
    plan_steps,
)
from casewright.mechanics.wrench import torque_through_adapter
from casewright.tables.threads import thread
from casewright.tables.torque_tools import permissible_deviation
from casewright.units import parse

MISSING, ABOVE_PROOF, UNREADABLE = "missing", "above proof", "can't be judged"


@dataclass(frozen=True, slots=True)
class StepLine:
    """One torque step of a joint: what the sheet asks [N m], what was read, and the verdict.

    `word` is one of missing, inside, outside, not proven, not in the sheet, above proof or can't be
    judged; `open_places` are the fasteners of the step that no record covers.
    """

    joint: str
    step: int
    nominal: float | None
    low: float | None
    high: float | None
    word: str
    read: float | None = None
    at_fastener: float | None = None
    audit: TorqueAudit | None = None
    reasons: tuple[str, ...] = ()
    open_places: tuple[int, ...] = ()
    sequence: int = 0

    @property
    def is_open(self) -> bool:
        """Whether something of the step is still to be done."""
        return self.word == MISSING or bool(self.open_places)


@dataclass(frozen=True, slots=True)
class JointTorque:
    """A joint's torque plan and record; `way` tightens, `tool_most` is of the last wrench used."""

    key: str
    name: str
    kind: str
    designation: str
    way: str
    order: tuple[int, ...]
    fasteners: Fasteners
    steps: tuple[StepLine, ...]
    order_words: tuple[str, ...]
    oddities: tuple[str, ...]
    locked_by: str
    tool_most: str

    @property
    def next_step(self) -> StepLine | None:
        """The first step that isn't whole yet."""
        return next((line for line in self.steps if line.is_open), None)


def torque_log(state: State, joints: tuple[Joint, ...]) -> tuple[JointTorque, ...]:
    """Torque lines of the joints that have fasteners."""
    return tuple(_joint(state, joint, joint.fasteners) for joint in joints if joint.fasteners)


def _joint(state: State, joint: Joint, fasteners: Fasteners) -> JointTorque:
    records = [k for k in state.torques if k.body.joint == joint.key and k.body.occasion == "final"]
    order = fasteners.order or tuple(range(1, fasteners.count + 1))
    stages = max(len(fasteners.torque_steps), *(k.body.step for k in records), 0)
    steps = tuple(
        _step(state, joint, fasteners, stage, [k for k in records if k.body.step == stage])
        for stage in range(1, stages + 1)
    )
    way = "clockwise" if fasteners.turns_out == "anticlockwise" else "anticlockwise"
    return JointTorque(
        joint.key, closing(joint.name), joint.kind, designation_of(fasteners), way, order,
        fasteners, steps, _order_words(order, len(fasteners.torque_steps), records),
        _oddities(fasteners),
        next((k.body.locked_by for k in reversed(records) if k.body.locked_by), ""),
        next((k.body.tool_most for k in reversed(state.torques) if k.body.tool_most), ""),
    )  # fmt: skip


def closing(name: str) -> str:
    """A joint's name as it goes together; sheets name joints by how they come apart.

    >>> closing("bearing carrier out of the housing")
    'bearing carrier into the housing'
    """
    name = re.sub(r"\bout of\b", "into", name)
    name = re.sub(r"\boff the\b", "to the", name)
    return re.sub(r" (off|out)(?=,|$)", "", name)


def designation_of(fasteners: Fasteners) -> str:
    """The thread with its hand, as the tables read it."""
    left = fasteners.hand == "left" and "LH" not in fasteners.thread.upper()
    return f"{fasteners.thread} LH" if left else fasteners.thread


def surface_of(fasteners: Fasteners, said: str) -> str | None:
    """The state of the thread in the words of the friction table; None where nobody says.

    Anti-seize is taken like an oiled thread, which is on the safe side for the bolt.
    """
    if said != "compound":
        return said or None
    return "locking compound" if "lock" in fasteners.locking.lower() else "oiled"


def torque_rule(joint: str, fasteners: Fasteners, step: int) -> TorqueRule:
    """What the sheet asks of one step, as the audit reads it."""
    steps = fasteners.torque_steps
    nominal = steps[step - 1].value if step <= len(steps) else None
    share = fasteners.torque_tolerance
    low, high = (
        (nominal * (1 - share), nominal * (1 + share)) if nominal and share else (None, None)
    )
    return TorqueRule(
        joint, designation_of(fasteners), nominal, low, high,
        surface=surface_of(fasteners, fasteners.lubricated),
        class_name=fasteners.property_class or None,
    )  # fmt: skip


def _step(
    state: State, joint: Joint, fasteners: Fasteners, step: int, records: list[Kept[Torqued]]
) -> StepLine:
    """The step's records judged; the worst word stands, every reason is kept."""
    rule = torque_rule(joint.name, fasteners, step)
    empty = StepLine(joint.key, step, rule.nominal, rule.low, rule.high, MISSING)
    every = tuple(range(1, fasteners.count + 1))
    if not records:
        return replace(empty, open_places=every)
    standing, covered = _standing(records, every)
    judged = [_judge(state, fasteners, rule, kept, empty) for kept in standing]
    worst = min(judged, key=lambda line: _WORST.index(line.word))
    reasons = tuple(dict.fromkeys(reason for line in judged for reason in line.reasons))
    missing = tuple(place for place in every if place not in covered)
    return replace(worst, reasons=reasons, open_places=missing)


def _standing(
    records: list[Kept[Torqued]], every: tuple[int, ...]
) -> tuple[list[Kept[Torqued]], set[int]]:
    """Records that still stand for a place that none after them covers, and all places covered."""
    standing, covered = [], set[int]()
    for kept in sorted(records, key=lambda kept: -kept.sequence):
        places = set(kept.body.places or every)
        if places - covered:
            standing.append(kept)
            covered |= places
    return standing, covered


_WORST = (ABOVE_PROOF, UNREADABLE, OUTSIDE, NOT_PROVEN, NOT_IN_SHEET, INSIDE, MISSING)


def _judge(
    state: State, fasteners: Fasteners, rule: TorqueRule, kept: Kept[Torqued], empty: StepLine
) -> StepLine:
    try:
        return _judged(state, fasteners, rule, kept, empty)
    except CasewrightError as error:
        return replace(empty, word=UNREADABLE, reasons=(str(error),), sequence=kept.sequence)


def _judged(
    state: State, fasteners: Fasteners, rule: TorqueRule, kept: Kept[Torqued], empty: StepLine
) -> StepLine:
    body = kept.body
    unit = body.unit or state.lookup.sheet.sheet.torques_in
    read = parse(body.value, "torque", unit, "torque").value
    torque = _at_fastener(body, read)
    record = TorqueRecord(
        torque, _deviation(body, torque, unit), surface_of(fasteners, body.lubricated)
    )
    audit, extra = _audited(rule, record)
    word, reasons = audit.verdict, [*extra, *audit.reasons]
    other = body.lubricated and fasteners.lubricated and body.lubricated != fasteners.lubricated
    if other and record.surface == rule.surface:
        reasons.append(f"Tightened {body.lubricated}; the sheet says {fasteners.lubricated}.")
        word = OUTSIDE if word in (INSIDE, NOT_PROVEN) else word
    if audit.above_proof:
        word = ABOVE_PROOF
        reasons.sort(key=lambda reason: "lowest friction" not in reason)
    return replace(
        empty, word=word, read=read, at_fastener=torque, audit=audit, reasons=tuple(reasons),
        sequence=kept.sequence,
    )  # fmt: skip


def _audited(rule: TorqueRule, record: TorqueRecord) -> tuple[TorqueAudit, list[str]]:
    """The audit; where thread or class can't be read, without what would have needed them."""
    extra: list[str] = []
    try:
        thread(rule.designation or "")
    except CasewrightError:
        extra.append(f"The thread {rule.designation!r} can't be read: no preload, no proof margin.")
        rule = replace(rule, designation=None, class_name=None)
    try:
        return audit_torque(rule, record), extra
    except CasewrightError as error:
        if rule.class_name is None:
            raise
        extra.append(f"No proof margin: {error}")
        return audit_torque(replace(rule, class_name=None), record), extra


def _at_fastener(body: Torqued, read: float) -> float:
    """The torque at the fastener: an adapter in line adds to what the wrench shows."""
    if not body.adapter_length:
        return read
    if not body.wrench_length:
        raise MissingError(
            "wrench length",
            "drive to hand mark, since an adapter was used",
            "Without it the torque at the fastener isn't known.",
        )
    length = parse(body.wrench_length, "length", "mm", "wrench length").value
    adapter = parse(body.adapter_length, "length", "mm", "adapter length").value
    angle = parse(body.adapter_angle or "0 °", "angle", "°", "adapter angle").value
    return torque_through_adapter(read, length, adapter, angle)


def _deviation(body: Torqued, torque: float, unit: str) -> float:
    """The tool's permissible deviation; by the torque itself where its largest isn't given."""
    if body.tool_most:
        return permissible_deviation(parse(body.tool_most, "torque", unit, "tool").value, torque)
    return permissible_deviation(torque)


def _order_words(
    order: tuple[int, ...], stages: int, records: list[Kept[Torqued]]
) -> tuple[str, ...]:
    """Steps out of order, by name; a record without places stands for all, in the order."""
    if not stages or not records:
        return ()
    planned = plan_steps([str(place) for place in order], stages)
    done = [
        (kept.body.step, str(place))
        for kept in sorted(records, key=lambda kept: kept.sequence)
        for place in (kept.body.places or order)
    ]
    audit = audit_order(planned, done)
    late = [f"place {name}, step {stage} was out of order" for stage, name in audit.out_of_order]
    odd = [f"place {name}, step {stage} is not in the sheet" for stage, name in audit.unknown]
    return (*late, *odd)


def _oddities(fasteners: Fasteners) -> tuple[str, ...]:
    """What in the sheet itself doesn't go together."""
    usual = "anticlockwise" if fasteners.hand == "right" else "clockwise"
    if fasteners.turns_out != usual:
        return (
            f"The sheet calls the thread {fasteners.hand}-handed and lets it turn out "
            f"{fasteners.turns_out}: look at the thread before any force.",
        )
    return ()
