"""A small torque reads in the unit in which its window is printed."""

from __future__ import annotations

from casewright.job.limits import Limits, limits_of
from casewright.phases import setup
from casewright.voice import say_setup
from casewright.voice.plain import texts
from casewright.voice.quantities import Style
from casewright.voice.rooms import style_for
from tests.phases.cast import SETTINGS, job


def test_a_window_in_inch_pounds_is_read_in_inch_pounds_by_who_likes_foot_pounds() -> None:
    limits = Limits(0.9, 1.6, "torque", "8 to 14 in·lb", "", "in·lb")
    assert Style({"torque": "ft·lb"}).near(limits).unit("torque") == "in·lb"
    # Who likes newton metres gets newton metres, and lengths stay as they are.
    assert Style({"torque": "N·m"}).near(limits).unit("torque") == "N·m"
    assert Style({"torque": "ft·lb", "length": "in"}).near(limits).unit("length") == "in"


def test_the_form_and_the_rows_of_a_turning_torque_agree_with_the_manual() -> None:
    state = job(sheet="whelk-4")
    limits = limits_of(state, "input-preload")
    assert limits is not None and limits.unit == "in·lb"
    style = style_for(state, SETTINGS)
    assert style.unit("torque") == "ft·lb"
    said = say_setup.say(setup.view(state, SETTINGS), style)
    asked = [line for line in repr(said).split("Ask(") if "'target': 'input-preload'" in line]
    assert asked and all("unit='in·lb'" in one for one in asked)
    assert "ft·lb" not in "".join(one for one in texts(said) if "turning torque" in one)
