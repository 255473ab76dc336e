"""Root causes that are likely and whose remedy isn't settled: what hand-over asks about.

The diagnosis is kept by the digest of the family file, the duty and the answers, so that the cause
room, hand-over and the book ask once.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from casewright.errors import CasewrightError, FormErrors
from casewright.job.evidence import answers
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.reasoning.cause_model import CauseModel, prepare
from casewright.reasoning.cause_network import Network, network_from_mapping
from casewright.reasoning.causes import Diagnosis, diagnose

STORIES = 3
Answers = tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class OpenCause:
    """A cause above the threshold whose remedy is neither done nor overruled."""

    key: str
    label: str
    chance: float
    remedy: str


@dataclass(frozen=True, slots=True)
class Family:
    """The network of a family file, or what is wrong with it, in words."""

    text: str
    network: Network | None
    problem: str


def open_causes(state: State, settings: Settings) -> tuple[OpenCause, ...]:
    """Causes above `settings.cause_threshold` without a settled remedy, likeliest first."""
    found = family(settings)
    if found.network is None:
        return ()
    duty, _ = duty_of(state, found.network)
    told = diagnosis(found.text, duty, answers_for(state, found.network))
    return tuple(
        OpenCause(cause.key, cause.label, cause.chance, cause.remedy)
        for cause in told.causes
        if cause.chance >= settings.cause_threshold and cause.key not in state.remedies
    )


def family(settings: Settings) -> Family:
    """The cause network of the settings; an empty mapping says that there is none."""
    if not settings.cause_family:
        return Family("", None, "")
    return _family(_text(settings.cause_family))


def _text(mapping: Mapping[str, Any]) -> str:
    return json.dumps(mapping, default=dict, ensure_ascii=False)


@lru_cache(maxsize=8)
def _family(text: str) -> Family:
    try:
        return Family(text, network_from_mapping(json.loads(text)), "")
    except FormErrors as error:
        return Family(text, None, str(error))


def duty_of(state: State, network: Network) -> tuple[str, str]:
    """The network's kind of duty for this job, and what had to be assumed, in words."""
    said = state.opened.body.duty.strip() if state.opened else ""
    plain = said.lower()
    alike = [d for d in network.duties if said and (d.lower() in plain or plain in d.lower())]
    meant = [duty for duty in alike if duty.lower() == plain] or alike
    # A word that several kinds of duty share ("boat") names none of them.
    if len(meant) == 1:
        return meant[0], ""
    chosen = network.duties[0]
    given = f"The family file has no duty {said!r}" if said else "No duty was given"
    others = ", ".join(network.duties)
    return chosen, f"{given}: the chances beforehand are those of {chosen} (it knows {others})."


def answers_for(state: State, network: Network) -> Answers:
    """The job's answers to this network's findings; unknown ones and other keys left out."""
    known = {item.key for item in network.findings}
    found = answers(state)
    return tuple(
        (key, found[key].answer == "yes")
        for key in sorted(found)
        if key in known and found[key].answer in ("yes", "no")
    )


@lru_cache(maxsize=16)
def model(text: str, duty: str) -> CauseModel:
    """The model of a family file (as canonical text) for one kind of duty."""
    network = _family(text).network
    if network is None:
        raise CasewrightError("the cause family file can't be used")
    return prepare(network, duty)


@lru_cache(maxsize=128)
def diagnosis(text: str, duty: str, given: Answers) -> Diagnosis:
    """What the answers say together."""
    return diagnose(model(text, duty), dict(given), STORIES)
