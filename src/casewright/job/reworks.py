"""Which reworks are open for a feature: what the sheet allows for its part, at such a place."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.drive.schema import Feature
from casewright.job.state import State
from casewright.reasoning.rework import may_rework, rework_kind


@dataclass(frozen=True, slots=True)
class ReworkOffer:
    """A rework for a feature: whether it may be chosen outright, on what terms, and what after.

    `only_if` says what has to hold before it may be done at this place; `barred` why it can't.
    """

    key: str
    label: str
    conditions: tuple[str, ...]
    measure_after: tuple[str, ...]
    cautions: tuple[str, ...]
    only_if: str = ""
    barred: str = ""

    @property
    def is_open(self) -> bool:
        """Whether it may be advised without more ado."""
        return not self.barred and not self.only_if


SKIM = ReworkOffer(
    "skim",
    "Skim the face",
    ("metal enough is left for the joint and its seal", "the other face is true to it"),
    (
        "flatness of the face",
        "its height: what was skimmed off moves shafts and shim packs",
        "leak test",
    ),
    ("Clamped, not held by hand; eye shield.",),
)


def place_of(state: State, feature: Feature) -> str:
    """The kind of place that a feature is, in the words of the rework rules; "" for none."""
    part = state.lookup.part_at(feature.position)
    words = f"{feature.key} {feature.name}".lower()
    if feature.kind in ("diameter", "wear", "look") and part.kind == "shaft":
        return "seal land" if any(w in words for w in ("seal", "land", "groove")) else ""
    if feature.kind in ("bore", "ovality") and part.kind in ("housing", "carrier"):
        return "bearing bore"
    if feature.kind == "flatness":
        return "flange face"
    if feature.kind == "thread":
        return _thread(words)
    if part.kind == "housing" and "skeg" in words and "flange" not in words:
        return "skeg"
    return ""


def _thread(words: str) -> str:
    if "plug" in words:
        return "plug thread"
    return "carrier-ring thread" if "ring" in words or "carrier" in words else "stud thread"


def rework_offers(state: State, feature: Feature) -> tuple[ReworkOffer, ...]:
    """Reworks that the sheet names for the part and that suit the place, open ones first."""
    place = place_of(state, feature)
    if not place:
        return ()
    keys = state.lookup.part_at(feature.position).reworks
    found = [_offer(key, place) for key in keys]
    suits = [one for one in found if one is not None]
    return tuple(sorted(suits, key=lambda one: (bool(one.barred), bool(one.only_if))))


def _offer(key: str, place: str) -> ReworkOffer | None:
    if key == "skim":
        return SKIM if place == "flange face" else None
    kind = rework_kind(key)
    answer = may_rework(key, place, can_measure_after=True)
    barred = dict(kind.barred).get(place, "")
    if not answer.allowed and not barred:
        return None
    only_if = may_rework(key, place, can_measure_after=False).reason if answer.allowed else ""
    return ReworkOffer(
        key, kind.label, kind.conditions, answer.measure_after, kind.cautions, only_if, barred
    )
