"""Findings of the cause network, gathered from the whole job: said by a person, or read off it.

Readings, looks, damage, oil and anodes answer findings by themselves, with where that is from. What
a person said stands above; where the two differ both are shown. Verdicts' reasons don't count.
Nothing after the rebuild counts: the cause lies in the leg as it came in.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from casewright.drive.schema import Response
from casewright.errors import CasewrightError
from casewright.job.limits import limits_of, values_of
from casewright.job.measured import Measured, has_place, measured
from casewright.job.once import once
from casewright.job.reworks import place_of
from casewright.job.state import AS_FOUND, State
from casewright.job.verdicts import looks
from casewright.reasoning.conformity import Outcome
from casewright.tables.damage import damages
from casewright.tables.damage_form import BEARING_KINDS

# Oil: milk shows from about half a per cent of water; below 500 ppm it is called dry. Practice.
MILKY, DRY = 0.005, 0.0005
HALF_LEFT, AS_NEW = 0.5, 0.95
_PER_CENT = re.compile(r"(\d+(?:[.,]\d+)?)\s*(%|ppm)")
# What a look "as new" at every gear, or every bearing, rules out by eye.
NOT_ON_GEARS = ("teeth-scuffed", "teeth-blued", "contact-at-end-of-teeth")
NOT_ON_BEARINGS = ("raceway-spalled", "raceway-etched", "rollers-blue", "bearing-rough")


@dataclass(frozen=True, slots=True)
class Evidence:
    """One answer to a finding: yes, no or unknown, who or what says so, and in which words.

    `by_person` tells a person's answer from one that follows from other entries.
    """

    key: str
    answer: str
    origin: str
    words: str = ""
    by_person: bool = False


def said(state: State) -> Mapping[str, Evidence]:
    """The latest answer of a person to each finding."""
    found: dict[str, Evidence] = {}
    for kept in state.findings:
        body = kept.body
        if body.key and body.occasion in AS_FOUND:
            found[body.key] = Evidence(body.key, body.answer, kept.who, body.words, True)
    return found


def derived(state: State) -> Mapping[str, tuple[Evidence, ...]]:
    """What follows from other entries, finding by finding, in the order of the job."""
    return once(state, _derived)


def answers(state: State) -> Mapping[str, Evidence]:
    """One answer a finding: a person's yes or no, else a yes that follows, else a no.

    "Can't tell" tells nothing: what other entries say counts then.
    """
    found = dict(said(state))
    for key, several in derived(state).items():
        if key not in found or found[key].answer == "unknown":
            yes = next((one for one in several if one.answer == "yes"), None)
            found[key] = yes or several[0]
    return found


def contradicting(state: State) -> tuple[tuple[Evidence, Evidence], ...]:
    """A person's answer and what follows from other entries, where they differ.

    One yes among several places is a yes: a good mesh doesn't contradict a bad one.
    """
    found = []
    for key, several in derived(state).items():
        spoken = said(state).get(key)
        told = next((one for one in several if one.answer == "yes"), several[0])
        if spoken and spoken.answer in ("yes", "no") and told.answer != spoken.answer:
            found.append((spoken, told))
    return tuple(found)


def _derived(state: State) -> Mapping[str, tuple[Evidence, ...]]:
    found: dict[str, tuple[Evidence, ...]] = {}
    for source in _SOURCES:
        for one in source(state):
            found[one.key] = (*found.get(one.key, ()), one)
    return found


def _from_features(state: State) -> Iterator[Evidence]:
    """Readings of the pieces that came in, where they prove one thing or the other."""
    for item in measured(state):
        found = item.stands.conformance
        came_in = state.occupant(item.feature.position, "as-found")
        key = _feature_key(state, item)
        if found is None or not key or item.piece != came_in:
            continue
        name = f"reading of {item.feature.name}"
        if found.outcome is Outcome.NON_CONFORMING:
            yield Evidence(key, "yes", name, "proved outside its limits")
        elif found.outcome is Outcome.CONFORMING:
            yield Evidence(key, "no", name, "proved inside its limits")


def _feature_key(state: State, item: Measured) -> str:
    """The finding that a feature answers, told by what it is and where."""
    feature = item.feature
    part = state.lookup.part_at(feature.position)
    words = f"{feature.key} {feature.name} {part.name}".lower()
    if part.kind == "shaft":
        if place_of(state, feature) == "seal land" and feature.kind == "wear":
            return "seal-groove-bright"
        if feature.kind == "run-out" and "prop" in words:
            return "shaft-run-out-high"
        if feature.kind == "twist":
            return "drive-shaft-twisted"
        return "input-splines-worn" if feature.kind == "wear" and "spline" in words else ""
    return "dogs-worn" if part.kind == "clutch" and feature.kind == "wear" else ""


def _from_responses(state: State) -> Iterator[Evidence]:
    """As-found lash, end play and turning torque against their windows.

    A no needs every response of its kind: one good mesh says nothing of the other.
    """
    asked: dict[str, list[Evidence | None]] = {}
    for response in state.lookup.sheet.responses:
        if key := _response_key(state, response):
            asked.setdefault(key, []).append(_against_window(state, response, key))
    for several in asked.values():
        yes = [one for one in several if one and one.answer == "yes"]
        yield from yes or [one for one in several if one and all(several)]


def _against_window(state: State, response: Response, key: str) -> Evidence | None:
    """The last reading as it came in against its window; None where nothing can be said."""
    limits = limits_of(state, response.key)
    read = [r for r in state.readings_of(response.key) if r.body.occasion in AS_FOUND]
    if limits is None or not limits.known or not read:
        return None
    try:
        values = values_of(state, read[-1])
    except CasewrightError:
        return None
    mean = sum(values) / len(values)
    doubt = response.gauge.doubt.value if response.gauge and response.gauge.doubt else 0.0
    above = limits.high is not None and mean > limits.high + doubt
    below = limits.low is not None and mean < limits.low - doubt
    return _judged(response, key, above, below, read[-1].body.occasion)


def _response_key(state: State, response: Response) -> str:
    """Lash of any mesh; end play of the propeller's shaft; a turning torque only with its seals."""
    shaft = state.lookup.name_of(response.shaft or "").lower()
    window = response.windows[0] if response.windows else None
    keys = {
        "lash": "lash-out-of-window",
        "end-play": "end-play-high" if "prop" in f"{shaft} {response.name.lower()}" else "",
        "turning-torque": "turning-torque-high" if window and window.seals != "out" else "",
    }
    return keys.get(response.kind, "")


def _judged(response: Response, key: str, above: bool, below: bool, occasion: str) -> Evidence:
    name = f"{response.name}, {occasion.replace('-', ' ')}"
    if above or (below and key == "lash-out-of-window"):
        return Evidence(key, "yes", name, "above its window" if above else "below its window")
    return Evidence(key, "no", name, "not above its window")


def _from_damage(state: State) -> Iterator[Evidence]:
    """Damage named in the vocabulary's words, on pieces and on photographs."""
    known = damages()
    for kept in state.findings:
        one = known.get(kept.body.damage)
        if one and one.finding and kept.body.answer == "yes" and kept.body.occasion in AS_FOUND:
            where = state.lookup.name_of(kept.body.position) if kept.body.position else "the leg"
            yield Evidence(one.finding, "yes", f"damage on the {where}", one.name)
    for photo in state.photos:
        one = known.get(photo.body.damage)
        if one and one.finding:
            yield Evidence(one.finding, "yes", f"photograph {photo.body.name}".strip(), one.name)


def _from_looks(state: State) -> Iterator[Evidence]:
    """Every gear (or bearing) that the sheet lets one look at is as new: no damage there."""
    seen = looks(state)
    for kinds, keys, name in (
        (("gear",), NOT_ON_GEARS, "all gears seen as new"),
        (BEARING_KINDS, NOT_ON_BEARINGS, "all bearings seen as new"),
    ):
        wanted = [
            (feature.key, state.occupant(feature.position, "as-found"))
            for feature in state.lookup.sheet.features
            if feature.kind == "look"
            and has_place(state, feature.key)
            and state.lookup.part_at(feature.position).kind in kinds
        ]
        answered = [seen[one].body.look for one in wanted if one in seen]
        if wanted and len(answered) == len(wanted) and set(answered) == {"as new"}:
            for key in keys:
                yield Evidence(key, "no", name)


def _from_oil(state: State) -> Iterator[Evidence]:
    for kept in state.oil_readings:
        if kept.body.occasion not in AS_FOUND:
            continue
        share, look = _share(kept.body.water), kept.body.appearance.lower()
        if (share is not None and share >= MILKY) or "milk" in look:
            yield Evidence("oil-milky", "yes", "oil reading", f"water {kept.body.water} {look}")
        elif share is not None and share < DRY:
            yield Evidence("oil-milky", "no", "oil reading", f"water {kept.body.water}")
        if "burnt" in look or "burned" in look:
            yield Evidence("oil-burnt-smell", "yes", "oil reading", look)
        if "thin" in look:
            yield Evidence("oil-thin", "yes", "oil reading", look)


def _share(text: str) -> float | None:
    """A share typed in per cent or parts per million."""
    match = _PER_CENT.search(text)
    if match is None:
        return None
    number = float(match[1].replace(",", "."))
    return number / 100 if match[2] == "%" else number * 1e-6


def _from_anodes(state: State) -> Iterator[Evidence]:
    for kept in state.anodes:
        if kept.body.occasion not in AS_FOUND:
            continue
        left = _share(kept.body.left)
        if left is not None:
            gone = "yes" if left < HALF_LEFT else "no"
            yield Evidence("anode-gone", gone, "anode reading", f"{kept.body.left} left")
            if left < AS_NEW:
                yield Evidence("anode-like-new", "no", "anode reading", f"{kept.body.left} left")
        if kept.body.painted:
            yield Evidence("anode-painted-seen", "yes", "anode reading", "painted")


def _from_strip(state: State) -> Iterator[Evidence]:
    """A locking part that wasn't there."""
    for key, places in state.fasteners.items():
        joint = state.lookup.joints.get(key)
        if joint and joint.kind in ("locking-tab", "ring-nut") and "absent" in places.values():
            yield Evidence("lock-tab-not-bent", "yes", f"{joint.name}: counted", "absent")


_SOURCES: tuple[Callable[[State], Iterator[Evidence]], ...] = (
    _from_features, _from_responses, _from_damage, _from_looks, _from_oil, _from_anodes,
    _from_strip,
)  # fmt: skip
