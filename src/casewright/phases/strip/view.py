"""What the strip room shows: next step, list, locks and counts, stuck joints, what changed."""

from __future__ import annotations

from dataclasses import dataclass, replace

from casewright.drive.schema import Adjuster, Response
from casewright.job.limits import Limits, limits_of
from casewright.job.packs import Pack, pack_at
from casewright.job.prices import currency_of
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.job.strip_changes import before_last
from casewright.job.strip_state import (
    Count,
    behind,
    blockers,
    count_of,
    family_of,
    last_try,
    opened,
    packs_due,
    protected,
    readings_lost,
    stuck_joints,
    wanted_keys,
)
from casewright.phases.strip.costs import Losses, waiting_day
from casewright.phases.strip.order import Order, coming_out, order_of
from casewright.phases.strip.steps import StepLine, joint_line, lines_of, marked, reading_line
from casewright.phases.strip.stuck import StuckView, stuck_view
from casewright.reasoning.sequence import StripPlan

MOST_LADDERS = 3


@dataclass(frozen=True, slots=True)
class PackLine:
    """A pack that comes out with a joint: where it sits and what was found in it.

    `most` pieces are looked for: of a spacer one, and one that an earlier repair may have added.
    """

    adjuster: str
    name: str
    sits: str
    found: Pack | None
    due: bool
    most: int


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """An as-found reading still to be taken: its limits, boxes and conditions."""

    target: str
    name: str
    limits: Limits
    boxes: int
    how: str
    conditions: tuple[str, ...]
    deadlines: tuple[str, ...]
    next: bool


@dataclass(frozen=True, slots=True)
class CountLine:
    """The fasteners of a joint, by place."""

    joint: str
    name: str
    count: Count
    separation: bool


@dataclass(frozen=True, slots=True)
class DoneLine:
    """A step that was answered: its outcome, minutes, words, who said it, when it happened."""

    key: str
    name: str
    outcome: str
    minutes: float | None
    words: str
    who: str
    when: str


@dataclass(frozen=True, slots=True)
class Node:
    """A joint in the blocking graph: `state` is open, next, ready, locked, stuck, given up."""

    key: str
    name: str
    state: str
    after: tuple[str, ...]
    either: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StripView:
    """Everything that the room shows.

    `waiting_assumed`: what a day of waiting is counted as where nobody has said [money].
    """

    sheet_name: str
    has_sheet: bool
    trouble: str
    plan: StripPlan | None
    lines: tuple[StepLine, ...]
    stuck: tuple[StuckView, ...]
    packs: tuple[PackLine, ...]
    readings: tuple[ReadingLine, ...]
    lost: tuple[tuple[str, str], ...]
    counts: tuple[CountLine, ...]
    done: tuple[DoneLine, ...]
    studs: tuple[tuple[str, int, str, str], ...]
    given_up: tuple[tuple[str, tuple[str, ...]], ...]
    wanted: tuple[tuple[str, str], ...]
    guarded: tuple[tuple[str, str], ...]
    choices: tuple[tuple[str, str], ...]
    groups: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    changed: str
    gone: tuple[str, ...]
    nodes: tuple[Node, ...]
    bench_key: str
    currency: str
    missing_tools: tuple[str, ...]
    waiting_assumed: float | None
    signed: bool = False

    @property
    def next_pack(self) -> PackLine | None:
        """A pack that lies on the bench unmeasured: it goes before everything else."""
        return next((pack for pack in self.packs if pack.due), None)

    @property
    def next_stuck(self) -> StuckView | None:
        """The joint that sticks, the latest first, while the plan needs it."""
        needed = {line.key for line in self.lines}
        return next((one for one in self.stuck if one.joint in needed), None)

    @property
    def next_line(self) -> StepLine | None:
        """The next step of the list that doesn't stick."""
        sticking = {one.joint for one in self.stuck}
        return next((line for line in self.lines if line.key not in sticking), None)

    @property
    def minutes_spent(self) -> float:
        """Minutes recorded so far."""
        return sum(line.minutes or 0.0 for line in self.done) + sum(
            one.minutes_spent for one in self.stuck
        )


def view(state: State, settings: Settings) -> StripView:
    """The strip-down of a job as it stands."""
    order = order_of(state)
    losses = Losses(state, coming_out(state, order), waiting_day(settings))
    before, event = before_last(state)
    lines = lines_of(state, order.plan) if order.plan else ()
    old = order_of(before) if event else order
    earlier = lines_of(before, old.plan) if old.plan and event else lines
    lines = marked(lines, earlier)
    gone = _gone(state, lines, earlier)
    places = state.lookup.positions
    stuck = _stuck(state, settings, order, losses, lines)
    return StripView(
        sheet_name=state.lookup.sheet.sheet.name,
        has_sheet=state.sheet is not None,
        trouble=order.trouble,
        plan=order.plan,
        lines=lines,
        stuck=_with_before(stuck, before, settings, old, event),
        packs=_packs(state),
        readings=_readings(state, lines),
        lost=tuple((r.name, state.lookup.name_of(joint)) for r, joint in readings_lost(state)),
        counts=_counts(state),
        done=_done(state),
        studs=_studs(state),
        given_up=_given_up(state, order),
        wanted=tuple((key, state.lookup.name_of(key)) for key in wanted_keys(state)),
        guarded=tuple((key, places[key].name) for key in sorted(protected(state))),
        choices=tuple((key, place.name) for key, place in places.items()),
        groups=_groups(state),
        changed=event if gone or any(line.mark for line in lines) else "",
        gone=gone,
        nodes=_nodes(state, order),
        bench_key=_bench_key(state),
        currency=currency_of(state),
        missing_tools=tuple(sorted(settings.tools_missing)),
        waiting_assumed=waiting_day(settings) if settings.waiting_per_day is None else None,
        signed=state.signed is not None,
    )


def _groups(state: State) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """Pieces that a person may want out, by the shaft that they sit on or the unit they are in."""
    shafts = {shaft.key: shaft.name for shaft in state.lookup.sheet.shafts}
    units = {unit.key: unit.name for unit in state.lookup.sheet.units}
    found: dict[str, list[tuple[str, str]]] = {}
    for place in state.lookup.sheet.positions:
        if state.lookup.parts[place.part].kind not in ("fastener", "washer", "shim-pack"):
            where = shafts.get(place.on or "") or units.get(place.unit, place.unit)
            found.setdefault(where, []).append((place.key, place.name))
    return tuple((where, tuple(pieces)) for where, pieces in found.items())


def _gone(
    state: State, lines: tuple[StepLine, ...], earlier: tuple[StepLine, ...]
) -> tuple[str, ...]:
    """Steps of the plan before the latest entry that are neither done nor in the plan now."""
    now = {line.key for line in lines} | set(state.steps)
    return tuple(line.name for line in earlier if line.key not in now and line.kind == "joint")


def _stuck(
    state: State, settings: Settings, order: Order, losses: Losses, lines: tuple[StepLine, ...]
) -> tuple[StuckView, ...]:
    """Joints that stick, and a seized stud that comes up next: it sticks by its nature."""
    joints, keys = state.lookup.joints, list(stuck_joints(state))
    first = next((line.key for line in lines if line.kind == "joint"), "")
    if first in joints and first not in keys and family_of(state, joints[first]) == "stud":
        keys += [] if last_try(state, first) in ("released", "abandoned") else [first]
    return tuple(
        stuck_view(state, settings, joints[key], losses, deep=k == 0)
        for k, key in enumerate(keys[:MOST_LADDERS])
    )


def _with_before(
    stuck: tuple[StuckView, ...], before: State, settings: Settings, order: Order, event: str
) -> tuple[StuckView, ...]:
    """The first ladder with the order that it had before the latest entry, if that differs."""
    if not stuck or not event or stuck[0].joint not in stuck_joints(before):
        return stuck
    settings = settings.with_job(before.settings)
    losses = Losses(before, coming_out(before, order), waiting_day(settings))
    joint = before.lookup.joints[stuck[0].joint]
    old = stuck_view(before, settings, joint, losses, deep=False)
    return (replace(stuck[0], before=old.plan.order if old.plan else None), *stuck[1:])


def _packs(state: State) -> tuple[PackLine, ...]:
    due = {adjuster.key for adjuster in packs_due(state)}
    held = {position for joint in state.lookup.sheet.joints for position in joint.holds}
    return tuple(
        _pack(state, adjuster, adjuster.key in due)
        for adjuster in state.lookup.sheet.adjusters
        if adjuster.position in held or state.packs.get(adjuster.key)
    )


def _pack(state: State, adjuster: Adjuster, due: bool) -> PackLine:
    most = 2 if adjuster.kind == "selective-spacer" else max(adjuster.most_shims, 2)
    found = pack_at(state, adjuster.key, "as-found")
    return PackLine(adjuster.key, adjuster.name, adjuster.sits, found, due, most)


def _readings(state: State, lines: tuple[StepLine, ...]) -> tuple[ReadingLine, ...]:
    responses = [state.lookup.responses[one.about] for one in lines if one.kind == "reading"]
    return tuple(_reading(state, response, k == 0) for k, response in enumerate(responses))


def _reading(state: State, response: Response, first: bool) -> ReadingLine:
    limits = limits_of(state, response.key)
    assert limits is not None
    deadlines = tuple(state.lookup.name_of(key) for key in response.as_found_before)
    how = reading_line(state, response).how
    return ReadingLine(
        response.key, response.name, limits, response.positions, how, response.conditions,
        deadlines, first,
    )  # fmt: skip


def _counts(state: State) -> tuple[CountLine, ...]:
    found = []
    for joint in state.lookup.sheet.joints:
        count = count_of(state, joint)
        if count and (count.states or joint.key not in state.steps):
            found.append(CountLine(joint.key, joint.name, count, joint.separation))
    return tuple(found)


def _done(state: State) -> tuple[DoneLine, ...]:
    found = [(kept.sequence, key, kept) for key, kept in state.steps.items()]
    return tuple(
        DoneLine(
            key, _step_name(state, key), kept.body.outcome, kept.body.minutes, kept.body.words,
            kept.who, kept.happened_at[:16].replace("T", " "),
        )
        for _, key, kept in sorted(found, key=lambda one: one[0])
        if key in state.lookup.joints or ":" in key
    )  # fmt: skip


def _step_name(state: State, key: str) -> str:
    kind, _, about = key.rpartition(":")
    words = {"read": "as-found reading: ", "photo": "photograph: "}.get(kind, "")
    return words + state.lookup.name_of(about)


def _studs(state: State) -> tuple[tuple[str, int, str, str], ...]:
    """Broken fasteners that no joint stands for yet: (joint, place, new key, position to name)."""
    known = set(state.lookup.joints)
    found = []
    for key, places in state.fasteners.items():
        joint = state.lookup.joints.get(key)
        for place, said in places.items():
            new = f"stud.{key}.{place}"
            taken = new in known or any(str(place) in one and "stud" in one for one in known)
            if joint and said == "broken, stays in" and not taken:
                found.append((key, place, new, joint.holds[0]))
    return tuple(found)


def _given_up(state: State, order: Order) -> tuple[tuple[str, tuple[str, ...]], ...]:
    name = state.lookup.name_of
    return tuple(
        (name(key), tuple(name(one) for one in behind(state, key))) for key in order.given_up
    )


def _bench_key(state: State) -> str:
    """A free key for a joint that is added at the bench."""
    number = 1
    while f"bench-joint-{number}" in state.lookup.joints:
        number += 1
    return f"bench-joint-{number}"


def _nodes(state: State, order: Order) -> tuple[Node, ...]:
    graph, sticking = blockers(state), set(stuck_joints(state))
    needed = order.plan.order if order.plan else ()
    first = next((key for key in needed if key in state.lookup.joints), "")
    found = []
    for joint in state.lookup.sheet.joints:
        after, ways = graph[joint.key]
        either = tuple(dict.fromkeys(one for way in ways for one in way))
        line = joint_line(state, joint)
        shut = bool(line.lock and line.lock.waits_for and not line.lock.opened_because)
        word = "ready" if not shut else "locked"
        word = "next" if joint.key == first else word
        word = "stuck" if joint.key in sticking else word
        word = "given up" if joint.key in (*order.given_up, *order.stays) else word
        word = "not needed" if order.plan and joint.key not in needed and word in (
            "ready", "locked") else word  # fmt: skip
        word = "open" if joint.key in opened(state) else word
        found.append(Node(joint.key, joint.name, word, after, either))
    return tuple(found)
