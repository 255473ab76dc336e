"""Figures typed once for a bearing tell the same life at set-up and at inspection."""

from __future__ import annotations

import pytest

from casewright.job import kinds
from casewright.job.bearing_figures import LIFE, METHOD, data_at, rolls_on
from casewright.job.state import State
from casewright.phases.inspect.used import used_bearing
from casewright.phases.setup.bearings import life_lines
from tests.phases.cast import job, sheet_text

FIGURES = {"capacity": "54 kN", "load": "6 kN", "speed": "1500 rpm", "run": "1200 h"}


def typed(sheet: str, position: str) -> State:
    body = kinds.Calculated(name=LIFE + position, inputs=FIGURES, outputs={}, method=METHOD)
    return job(body, sheet=sheet)


@pytest.mark.parametrize(
    ("kind", "exponent"), [("ball", 3.0), ("taper", 10 / 3)], ids=["balls", "rollers"]
)
def test_both_rooms_go_by_what_the_sheet_says_it_rolls_on(kind: str, exponent: float) -> None:
    # ISO 281: L10 in millions of turns is (C/P)^3 for balls, (C/P)^(10/3) for rollers.
    text = sheet_text("winkle-3")
    at = text.index('kind = "bearing"')
    end = text.index("[[", at)
    rated = f'[parts.bearing]\nkind = "{kind}"\n\n'
    state = typed(text[:end] + rated + text[end:], "lower.astern.bearing")
    assert data_at(state.lookup, "lower.astern.bearing") is not None
    assert rolls_on(state, "lower.astern.bearing") == ("ball" if kind == "ball" else "roller")
    hours = 1e6 * 9**exponent / 1500 / 60
    (line,) = life_lines(state)
    used = used_bearing(state, "lower.astern.bearing")
    assert used is not None and used.life is not None
    assert line.hours == pytest.approx(hours)
    assert used.life / 3600 == pytest.approx(hours)
