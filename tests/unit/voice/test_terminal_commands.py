"""Each form is printed in the terminal as a command; typed back, it says what the form's fixed parts say."""

from __future__ import annotations

import json
import shlex
from typing import Any

import pytest

from casewright.job.fold import fold
from casewright.job.kinds import BODIES, ROOMS
from casewright.job.log import read_log
from casewright.store.shipped import demo_logs
from casewright.voice.forms import body_from
from casewright.voice.rooms import document
from casewright.voice.terminal import command
from tests.phases.asks import asks_of
from tests.phases.test_cause import WITH

STATE = fold(read_log(demo_logs()["survey-launch"]).entries)


@pytest.mark.parametrize("room", ROOMS)
def test_a_printed_command_says_what_the_form_says(room: str) -> None:
    said = document(room, STATE, WITH)
    found = list(asks_of(said))
    assert found
    for ask in found:
        words = shlex.split(command(ask))
        assert words[:5] == ["$", "casewright", "add", "JOB", ask.kind]
        posted: dict[str, list[str]] = {}
        for pair in words[5:]:
            name, _, value = pair.partition("=")
            posted.setdefault(name, []).append(value)
        asked = {field.name for field in ask.fields}
        typed = body_from(ask.kind, {n: v for n, v in posted.items() if n not in asked})
        assert known(ask.kind, typed) == known(ask.kind, dict(ask.fixed)), ask


def known(kind: str, body: dict[str, Any]) -> dict[str, Any]:
    """Each part as the kind's model reads it, without what is left at its default."""
    plain = body_from(kind, {"fixed": [json.dumps(body)]})
    made = BODIES[kind].model_construct(**plain).model_dump(mode="json", warnings=False)
    return {
        name: text_of(made[name]) for name in plain if plain[name] not in ("", [], {}, None, False)
    }


def text_of(value: Any) -> Any:
    """Numbers as their text: a command is text, the model reads it back."""
    if isinstance(value, dict):
        return {key: text_of(inner) for key, inner in value.items() if inner not in ("", [], None)}
    if isinstance(value, list | tuple):
        return [text_of(inner) for inner in value]
    return "true" if value is True else str(value)
