"""Where no pack may be told: a person said no, or the sheet contradicts itself."""

from __future__ import annotations

import pytest

from casewright.job import kinds
from casewright.job.state import State
from casewright.voice import say_setup
from casewright.voice.document import Card, Fold, Table
from tests.phases.cast import job, sheet_text
from tests.phases.test_setup import FOUND, KEYS, MM, SIGNS, asks, card_texts, look

NO = kinds.SignConfirmed(adjuster="ahead-pack", says="the other way", agreed=False)
OTHERS = tuple(sign for sign in SIGNS if sign.adjuster != "ahead-pack")
# The sheet's own page 42: more shim closes the lash. Turned round, it contradicts where it sits.
AGAINST = sheet_text().replace('per_mm = "-2.1 mm"', 'per_mm = "2.1 mm"')
CASES = {"a person said no": (sheet_text(), (*OTHERS, NO)), "the sheet": (AGAINST, OTHERS)}


def card_of(state: State) -> Card:
    card = say_setup.say(look(state), MM).card
    assert card is not None
    return card


@pytest.mark.parametrize("case", CASES)
def test_a_seat_that_cant_be_told_is_asked_for_first_and_told_nothing(case: str) -> None:
    """No pack came out that could be left: what goes in is a person's to say, the rest follows."""
    text, signs = CASES[case]
    state = job(*signs, sheet=text)
    seat = next(one for one in look(state).seats if one.adjuster.key == "ahead-pack")
    assert seat.advised_sizes == () and seat.untold
    card = card_of(state)
    assert card.title == "Say what you fit at the ahead gear pack"
    assert [ask.button for ask in asks(card.blocks)] == ["Record these"]
    own = kinds.PackFitted(adjuster="ahead-pack", occasion="trial-1", shims=("0.30 mm", "0.20 mm"))
    view = look(job(*signs, own, sheet=text))
    assert view.stage == "fit" and view.next_seat is not None
    assert view.next_seat.adjuster.key == "height-pack"
    assert view.plan is not None and view.plan.best is not None
    place = view.plan.seats.index("ahead-pack")
    assert view.plan.best.thickness[place] == pytest.approx(0.5e-3)


@pytest.mark.parametrize("case", CASES)
def test_what_came_out_stays_where_nothing_may_be_told(case: str) -> None:
    """A new housing whose shoulder lies 0.08 mm off would else move the pack the wrong way."""
    text, signs = CASES[case]
    new = kinds.PiecePlaced(
        piece="housing-2", position="lower.housing", occasion="trial-1", origin="new"
    )
    read = [
        kinds.Reading(target="dry-ahead-shoulder", piece=piece, occasion=when, values=(value,))
        for piece, when, value in (
            ("in:lower.housing", "as-found", "60.10 mm"), ("housing-2", "trial-1", "60.02 mm")
        )
    ]  # fmt: skip
    view = look(job(*FOUND, *signs, new, *read, sheet=text))
    seat = next(one for one in view.seats if one.adjuster.key == "ahead-pack")
    assert seat.advised_sizes == pytest.approx((0.1e-3, 0.3e-3)) and seat.why_not
    fitted = [
        kinds.PackFitted(adjuster=key, occasion="trial-1", shims=("0.50 mm",)) for key in KEYS[:2]
    ]
    card = card_of(job(*FOUND, *signs, new, *read, *fitted, sheet=text))
    assert "ahead gear pack" in card.title
    assert any(words.startswith("Left as it is") for words in card_texts(card))


def test_runners_up_tell_nothing_at_a_seat_that_cant_be_told() -> None:
    document = say_setup.say(look(job(*OTHERS, NO)), MM)
    advice = next(one for one in document.sections if one.key == "advice")
    folds = [block for block in advice.blocks if isinstance(block, Fold)]
    table = next(one for fold in folds for one in fold.blocks if isinstance(one, Table))
    place = table.columns.index("ahead gear pack")
    assert {str(row[place]) for row in table.rows} == {"not told"}
