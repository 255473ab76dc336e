"""The steps of the strip list as lines: what each needs, holds back, hides and destroys."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from casewright.drive.schema import Joint, Response
from casewright.job.state import State
from casewright.job.strip_state import (
    PHOTO,
    READ,
    Count,
    Lock,
    count_of,
    lock_of,
    lock_words,
    opened,
    packs_of,
    photo_due,
)
from casewright.phases.strip.order import minutes_of
from casewright.reasoning.sequence import Setup, Step, StripPlan


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step: a joint, an as-found reading or a photograph. Times in minutes.

    `key` is the key of its entry; `about` the joint or response; `change` minutes of changes before
    it; `clock` when it is done; `mark` "new here", "sooner", "later" or "" against the plan before.
    """

    key: str
    kind: str
    about: str
    name: str
    minutes: float
    change: float
    clock: float
    tool: str
    posture: str
    people: int
    why: str
    how: str = ""
    cautions: tuple[str, ...] = ()
    one_time: tuple[str, ...] = ()
    packs: tuple[str, ...] = ()
    sides: tuple[str, ...] = ()
    turns: str = ""
    source: str = ""
    count: Count | None = None
    lock: Lock | None = None
    lock_words: str = ""
    deadlines: tuple[str, ...] = ()
    mark: str = ""
    changes: tuple[str, ...] = ()


def lines_of(state: State, plan: StripPlan) -> tuple[StepLine, ...]:
    """The plan as lines: each joint with its photograph before it."""
    found: list[StepLine] = []
    before = _at_hand(state)
    for step in plan.steps:
        found += _lines(state, step, _changes(before, step.setup))
        before = step.setup
    return tuple(found)


def _at_hand(state: State) -> Setup:
    """Tool and posture as the last joints that were opened left them."""
    tool = posture = ""
    for key in opened(state):
        joint = state.lookup.joints[key]
        tool = tool if joint.tool == "hand" else joint.tool
        posture = posture if joint.posture == "bench" else joint.posture
    return Setup(tool, posture)


def _changes(before: Setup, after: Setup) -> tuple[str, ...]:
    """What is changed between two steps, in words."""
    said = []
    if before.posture != after.posture and after.posture:
        said.append(f"leg {after.posture}")
    if before.tool != after.tool and after.tool:
        said.append(f"take the {after.tool}")
    if after.people > before.people:
        said.append(f"call a second person ({after.people} in all)")
    return tuple(said)


def _lines(state: State, step: Step, changes: tuple[str, ...]) -> Iterator[StepLine]:
    if step.task.startswith(READ):
        response = state.lookup.responses[step.task.removeprefix(READ)]
        yield reading_line(state, response, step.clock)
        return
    joint = state.lookup.joints[step.task]
    if photo_due(state, joint):
        yield photo_line(state, joint, step.clock - step.minutes)
    yield joint_line(state, joint, step, changes)


def reading_line(state: State, response: Response, clock: float = 0.0) -> StepLine:
    """An as-found reading with the joints that end it."""
    ends = tuple(state.lookup.name_of(key) for key in response.as_found_before)
    why = f"It can't be read any more after: {'; '.join(ends)}."
    how = response.gauge.how if response.gauge else ""
    return StepLine(
        READ + response.key, "reading", response.key, f"read {response.name} as found",
        response.minutes, 0.0, clock, "", "", 1, why, how, source=response.source,
        deadlines=response.as_found_before,
    )  # fmt: skip


def photo_line(state: State, joint: Joint, clock: float = 0.0) -> StepLine:
    """A photograph before a joint."""
    small = any(packs_of(state, joint))
    reason = "shims and small parts come out in order" if small else "two units come apart"
    return StepLine(
        PHOTO + joint.key, "photo", joint.key, f"photograph before: {joint.name}",
        minutes_of(state, "photo"), 0.0, clock, "", "", 1,
        f"Afterwards it can't be seen how it sat: {reason}.", deadlines=(joint.key,),
    )  # fmt: skip


def joint_line(
    state: State, joint: Joint, step: Step | None = None, changes: tuple[str, ...] = ()
) -> StepLine:
    """A joint with everything that the bench must know before it is touched."""
    lock, fasteners = lock_of(state, joint.key), joint.fasteners
    people = step.setup.people if step else joint.people
    return StepLine(
        joint.key, "joint", joint.key, joint.name, joint.minutes, step.change if step else 0.0,
        step.clock if step else 0.0, joint.tool, joint.posture, max(joint.people, people),
        _why(state, joint), joint.how, joint.cautions, _one_time(state, joint),
        tuple(a.name for a in packs_of(state, joint)),
        fasteners.from_sides if fasteners else (),
        _turns(joint), joint.source, count_of(state, joint), lock,
        lock_words(state, lock) if lock.shut else "", changes=changes,
    )  # fmt: skip


def _turns(joint: Joint) -> str:
    """How its fasteners turn, where that isn't the usual way."""
    fasteners = joint.fasteners
    if fasteners is None or (fasteners.hand == "right" and fasteners.turns_out == "anticlockwise"):
        return ""
    thread = f"{fasteners.hand}-hand thread" if fasteners.hand == "left" else fasteners.thread
    return f"{thread}: out it turns {fasteners.turns_out}"


def _why(state: State, joint: Joint) -> str:
    """What the joint gives way to: the blocks that name it, in the sheet's words."""
    names = [
        state.lookup.name_of(block.joint)
        for block in state.lookup.sheet.blocks
        if (joint.key in block.after or any(joint.key in way for way in block.after_any))
        and block.joint not in state.steps
    ]
    if not names:
        return "Nothing waits for it; it frees what it holds."
    return f"It clears the way to: {'; '.join(names[:3])}."


def _one_time(state: State, joint: Joint) -> tuple[str, ...]:
    """Names of parts that are never used again once this joint is open."""
    names = []
    for key in joint.holds:
        if key in state.lookup.positions and (part := state.lookup.part_at(key)).one_time:
            when = f" ({part.one_time_when})" if part.one_time_when else ""
            names.append(f"{state.lookup.positions[key].name}{when}")
    if joint.fasteners and joint.fasteners.one_time:
        names.append("its fasteners")
    return tuple(names)


def marked(lines: tuple[StepLine, ...], before: tuple[StepLine, ...]) -> tuple[StepLine, ...]:
    """Lines with what moved against the plan before the latest entry; its own step left out."""
    now = [line.key for line in lines]
    old = [line.key for line in before if line.key in set(now)]
    common = [key for key in now if key in set(old)]
    place = {key: k for k, key in enumerate(old)}
    still = _longest_kept([place[key] for key in common])
    kept = {common[k] for k in still}
    marks: dict[str, str] = {}
    for k, key in enumerate(common):
        if key not in kept:
            marks[key] = "sooner" if k < place[key] else "later"
    marks |= {key: "new here" for key in now if key not in place}
    return tuple(replace(line, mark=marks.get(line.key, "")) for line in lines)


def _longest_kept(places: list[int]) -> list[int]:
    """Indices of a longest increasing run of places: the steps that have kept their order."""
    best: list[list[int]] = []
    for k, place in enumerate(places):
        runs = [run for run in best if places[run[-1]] < place]
        best.append([*max(runs, key=len, default=[]), k])
    return max(best, key=len, default=[])
