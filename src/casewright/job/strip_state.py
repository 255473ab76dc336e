"""Where the strip-down stands: what is open, what is locked and why, what is still to be counted.

A projection that the strip room shows and the rules of the log enforce. A joint's key is the key of
its step and of its lock. Steps that aren't joints carry a prefix: `read:` an as-found reading,
`photo:` a photograph, each with the key that it is about.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from casewright.drive.schema import Adjuster, Joint, Response
from casewright.job.packs import pack_at
from casewright.job.state import State
from casewright.tables.ladder_defaults import FAMILIES

READ, PHOTO, STUD = "read:", "photo:", "stud."
STOP_RUNG = "stop"
KINDS_KEPT_BY_SEAT = ("shim-pack", "spacer")
LADDER_WORDS: Mapping[str, str] = {
    "press fit steel in aluminium": "press-fit",
    "press fit": "press-fit",
    "ring nut with lugs": "ring-nut",
    "ring nut": "ring-nut",
    "carrier with o-rings in a corroded bore": "carrier",
    "tapered hub": "tapered-hub",
    "hub on a taper": "tapered-hub",
    "splined shaft": "splined-shaft",
    "screw in aluminium": "screw",
    "seized stud": "stud",
    "broken-off stud": "stud",
}


@dataclass(frozen=True, slots=True)
class Count:
    """Fasteners of a joint by place: what each is, which aren't counted, which hide and where."""

    joint: str
    states: Mapping[int, str]
    missing: tuple[int, ...]
    hidden: Mapping[int, str]

    @property
    def complete(self) -> bool:
        """Whether every place has been answered."""
        return not self.missing


@dataclass(frozen=True, slots=True)
class Lock:
    """What stands between a joint and its opening; `opened_because` is a person's reason, if any.

    `waits_for` are joints that block it and aren't recorded; `uncounted` places of a separation.
    """

    joint: str
    name: str
    waits_for: tuple[str, ...] = ()
    uncounted: tuple[int, ...] = ()
    opened_because: str = ""

    @property
    def shut(self) -> bool:
        """Whether it holds: something is missing and nobody opened it with a reason."""
        return bool(self.waits_for or self.uncounted) and not self.opened_because


def blockers(state: State) -> dict[str, tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]]:
    """Joint key to (all of these first, one of these ways); several blocks of a joint add up."""
    joints = state.lookup.joints
    found: dict[str, tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]] = {
        key: (_stud_after(state, key), ()) for key in joints
    }
    for block in state.lookup.sheet.blocks:
        if block.joint not in joints:
            continue
        after, ways = found[block.joint]
        more = tuple(one for one in block.after if one in joints and one not in after)
        given = [tuple(one for one in way if one in joints) for way in block.after_any]
        both = tuple((*a, *b) for a in ways for b in given) if ways and given else (*ways, *given)
        found[block.joint] = ((*after, *more), both)
    return found


def _stud_after(state: State, key: str) -> tuple[str, ...]:
    """A broken-off fastener added at the bench comes after the joint that it broke in."""
    joint = key.removeprefix(STUD).rpartition(".")[0] if key.startswith(STUD) else ""
    return (joint,) if joint in state.lookup.joints else ()


def opened(state: State) -> tuple[str, ...]:
    """Joints that are out of the way, in the order in which they were recorded."""
    done = [(kept.sequence, key) for key, kept in state.steps.items() if key in state.lookup.joints]
    return tuple(key for _, key in sorted(done))


def last_try(state: State, joint: str) -> str:
    """The last word on a joint that sticks: stuck, held, prepared, released, abandoned or ""."""
    said = [(kept.sequence, "stuck") for kept in state.stuck.get(joint, ())]
    said += [(kept.sequence, kept.body.outcome) for kept in state.attempts.get(joint, ())]
    return max(said)[1] if said else ""


def stuck_joints(state: State) -> tuple[str, ...]:
    """Joints that stick and are neither free nor given up, the latest first."""
    latest = []
    for joint in {*state.stuck, *state.attempts} & set(state.lookup.joints):
        if joint not in state.steps and last_try(state, joint) in ("stuck", "held", "prepared"):
            reports = (*state.stuck.get(joint, ()), *state.attempts.get(joint, ()))
            latest.append((-max(kept.sequence for kept in reports), joint))
    return tuple(joint for _, joint in sorted(latest))


def given_up(state: State) -> tuple[str, ...]:
    """Joints where a person has stopped: what they hold stays where it is."""
    return tuple(
        joint
        for joint in state.attempts
        if joint in state.lookup.joints
        and joint not in state.steps
        and last_try(state, joint) == "abandoned"
    )


def behind(state: State, joint: str) -> tuple[str, ...]:
    """Joints that can't be opened before this one is, directly or through others."""
    graph = blockers(state)
    found: list[str] = []
    waiting = [joint]
    while waiting:
        now = waiting.pop()
        for key, (after, ways) in graph.items():
            held = now in after or (ways and all(now in way for way in ways))
            if held and key not in found and key != joint:
                found.append(key)
                waiting.append(key)
    return tuple(found)


def count_of(state: State, joint: Joint) -> Count | None:
    """How far the fasteners of a joint are counted off; None where it has none."""
    if joint.fasteners is None:
        return None
    states = state.fasteners.get(joint.key, {})
    missing = tuple(p for p in range(1, joint.fasteners.count + 1) if p not in states)
    hidden = {one.place: one.look for one in joint.fasteners.hidden}
    return Count(joint.key, dict(states), missing, hidden)


def lock_of(state: State, key: str) -> Lock:
    """The lock of a joint as the job stands."""
    joint = state.lookup.joints[key]
    after, ways = blockers(state)[key]
    done = set(state.steps)
    waits = [one for one in after if one not in done]
    if ways and not any(set(way) <= done for way in ways):
        nearest = min(ways, key=lambda way: len(set(way) - done))
        waits += [one for one in nearest if one not in done]
    count = count_of(state, joint)
    uncounted = count.missing if joint.separation and count else ()
    return Lock(key, joint.name, tuple(waits), uncounted, state.locks_opened.get(key, ""))


def lock_words(state: State, lock: Lock) -> str:
    """Why a lock is shut, in words."""
    parts = [f"{state.lookup.name_of(key)!r} isn't recorded yet" for key in lock.waits_for]
    if lock.uncounted:
        count = count_of(state, state.lookup.joints[lock.joint])
        hidden = [place for place in lock.uncounted if count and place in count.hidden]
        places = ", ".join(str(place) for place in lock.uncounted)
        where = f" ({', '.join(str(p) for p in hidden)} hidden)" if hidden else ""
        many = "places" if len(lock.uncounted) > 1 else "place"
        parts.append(f"{many} {places}{where} of its fasteners not counted off")
    return " and ".join(parts)


def family_of(state: State, joint: Joint) -> str:
    """Id of the family of ladders for a joint; "" where none is said or the words aren't known."""
    said = state.settings.get(f"ladder.{joint.key}", "") or joint.ladder
    words = " ".join(said.lower().replace(",", " ").split())
    names = {
        " ".join(one.name.lower().replace(",", " ").split()): key for key, one in FAMILIES.items()
    }
    return words if words in FAMILIES else LADDER_WORDS.get(words, names.get(words, ""))


def wanted_keys(state: State) -> tuple[str, ...]:
    """What a person wants out: positions or joints; none means everything."""
    known = (*state.lookup.positions, *state.lookup.joints)
    return tuple(key for key in keys_in(state.settings.get("strip-wanted", "")) if key in known)


def protected(state: State) -> frozenset[str]:
    """Positions that a person protects: methods that harm them often are barred."""
    keys = keys_in(state.settings.get("protect", ""))
    return frozenset(key for key in keys if key in state.lookup.positions)


def keys_in(text: str) -> tuple[str, ...]:
    """Keys in a comma-separated setting."""
    return tuple(dict.fromkeys(one.strip() for one in text.split(",") if one.strip()))


def wanted_joints(state: State) -> tuple[str, ...]:
    """The joints that must open for what is wanted; none means all. A bare housing means its unit.

    A position that several joints hold is free when all of them are open.
    """
    places, joints = state.lookup.positions, state.lookup.joints
    found: list[str] = []
    for key in wanted_keys(state):
        if key in joints:
            found.append(key)
            continue
        units = {places[key].unit} if state.lookup.part_at(key).kind == "housing" else set()
        meant = {key} | {one for one, place in places.items() if place.unit in units}
        found += [one for one, joint in joints.items() if meant & set(joint.holds)]
    return tuple(dict.fromkeys(found))


def packs_of(state: State, joint: Joint) -> tuple[Adjuster, ...]:
    """Adjusters whose pack or ring comes out with a joint."""
    return tuple(a for a in state.lookup.sheet.adjusters if a.position in joint.holds)


def packs_due(state: State) -> tuple[Adjuster, ...]:
    """Packs that are out and not measured: at once, before they are mixed up."""
    due: dict[str, Adjuster] = {}
    for key in opened(state):
        if state.steps[key].body.outcome != "skipped":
            for adjuster in packs_of(state, state.lookup.joints[key]):
                if pack_at(state, adjuster.key, "as-found") is None:
                    due[adjuster.key] = adjuster
    return tuple(due.values())


def readings_due(state: State) -> tuple[Response, ...]:
    """As-found readings that can still be taken and haven't been (or weren't waived)."""
    return tuple(r for r in _as_found(state) if not lost_by(state, r))


def readings_lost(state: State) -> tuple[tuple[Response, str], ...]:
    """As-found readings that nobody took in time, with the joint that ended them."""
    found = [(response, lost_by(state, response)) for response in _as_found(state)]
    return tuple((response, joint) for response, joint in found if joint)


def _as_found(state: State) -> Iterator[Response]:
    for response in state.lookup.sheet.responses:
        taken = state.readings_of(response.key, occasion="as-found")
        if response.as_found_before and not taken and READ + response.key not in state.steps:
            yield response


def lost_by(state: State, response: Response) -> str:
    """The open joint that makes an as-found reading impossible; "" where there is none."""
    return next((joint for joint in response.as_found_before if joint in state.steps), "")


def photo_due(state: State, joint: Joint) -> bool:
    """Whether a photograph is wanted before a joint: small parts in order, or a separation."""
    parts = [state.lookup.parts.get(state.lookup.positions[p].part) for p in joint.holds
             if p in state.lookup.positions]  # fmt: skip
    small = any(part and part.kind in KINDS_KEPT_BY_SEAT for part in parts)
    taken = any(kept.body.position in joint.holds for kept in state.photos)
    return (small or joint.separation) and not taken and PHOTO + joint.key not in state.steps
