"""Functional tests of the sheet, judged: done, passed, inside the plain limit if there is one."""

from __future__ import annotations

from casewright.drive.schema import FunctionalTest
from casewright.errors import CasewrightError
from casewright.job.state import State
from casewright.units import parse

PASSED, NOT_PASSED, OUTSIDE, NOT_DONE = "passed", "not passed", "outside", "not done"


def function_word(state: State, test: FunctionalTest) -> tuple[str, str]:
    """The result in a word, and what is wrong with its value where something is."""
    kept = state.functions.get(test.key)
    if kept is None:
        return NOT_DONE, ""
    if not kept.body.passed:
        return NOT_PASSED, ""
    problem = _value_problem(test, kept.body.value)
    return (OUTSIDE if problem else PASSED), problem


def _value_problem(test: FunctionalTest, text: str) -> str:
    """What is wrong with the value of a test that has limits; empty where nothing is."""
    limit = test.low or test.high
    if limit is None:
        return ""
    if not text:
        return "the sheet gives limits; no value was recorded"
    try:
        value = parse(text, limit.dimension, limit.unit, test.name).value
    except CasewrightError as error:
        return str(error)
    if test.low is not None and value < test.low.value * (1 - 1e-9):
        return f"{text} is below {test.low.text}"
    if test.high is not None and value > test.high.value * (1 + 1e-9):
        return f"{text} is above {test.high.text}"
    return ""
