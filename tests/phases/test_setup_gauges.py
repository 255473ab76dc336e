"""A gauge's constant and an etched number count, in the direction of a drawing made here."""

from __future__ import annotations

import pytest

from casewright.drive.load import load
from casewright.errors import FormErrors, SheetError
from casewright.job import kinds
from casewright.job.entry import Entry
from casewright.job.kinds import Body
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.phases import setup
from casewright.phases.setup import ResponseLine
from casewright.phases.setup.trials import Taken
from casewright.voice import say_setup
from casewright.voice.quantities import Style
from tests.phases.cast import MOMENT, SETTINGS, job, sheet_text
from tests.phases.test_setup import FOUND, SIGNS, asks, conditions, said

INCH = 25.4e-3
ETCHED = """
[[dry_readings]]
key = "pinion-number"
name = "number etched on the pinion"
position = "{position}"
adjuster = "{adjuster}"
sign = {sign}
etched = true
step = "0.01 mm"
minutes = 1
"""


def whelk(sign: int = -1, etched_sign: int = -1) -> str:
    """The right-angle box, its pinion etched: farther out by so many hundredths is right for it."""
    text = sheet_text("whelk-4").replace(
        'constant = "1.2500 in"',
        f'constant = "1.2500 in"\netched = "pinion-number"\netched_sign = {etched_sign}',
    )
    return text + ETCHED.format(position="box.input.shaft", adjuster="depth-pack", sign=sign)


def winkle() -> str:
    """The twin-gear leg, its pinion etched."""
    text = sheet_text().replace(
        'constant = "0 mm"',
        'constant = "-10 mm"\netched = "pinion-number"\netched_sign = -1',
    )
    return text + ETCHED.format(position="lower.pinion", adjuster="height-pack", sign=1)


def new_pinion(position: str, old: str, new: str) -> tuple[Body, ...]:
    """Another pinion is on the bench; what is etched on both."""
    return (
        kinds.PieceKnown(piece="pinion-2", position=position, origin="new"),
        kinds.PiecePlaced(piece="pinion-2", position=position, occasion="trial-1"),
        kinds.Reading(target="pinion-number", values=(old,), piece=f"in:{position}"),
        kinds.Reading(
            target="pinion-number", values=(new,), piece="pinion-2", occasion="trial-1"
        ),
    )  # fmt: skip


def line_of(state: State, key: str) -> ResponseLine:
    """The view's line of a response."""
    return next(x for x in setup.view(state, SETTINGS).lines if x.response.key == key)


def depth(state: State, *values: str, **more: object) -> kinds.Reading:
    """A reading of the box's pinion depth under its conditions."""
    return kinds.Reading(
        target="pinion-depth", values=values, occasion="trial-1",
        conditions=conditions(state, "pinion-depth"), **more,
    )  # type: ignore[arg-type]  # fmt: skip


def last(state: State, key: str = "pinion-depth") -> Taken:
    """The last reading of a response."""
    return line_of(state, key).readings[-1]


def test_the_constant_is_added_to_what_the_gauge_shows_and_both_are_said() -> None:
    start = job(sheet="whelk-4")
    state = job(depth(start, "1.0005 in", "1.0010 in", as_shown=True), sheet="whelk-4")
    assert last(state).values == pytest.approx((2.2505 * INCH, 2.2510 * INCH))
    assert last(state).shown == pytest.approx((1.0005 * INCH, 1.0010 * INCH))
    inches = Style({"length": "in"})
    text = repr(say_setup.say(setup.view(state, SETTINGS), inches))
    assert "shows 1.0005, 1.0010; +1.2500 in constant" in text
    assert "the gauge should show 0.9980 to 1.0020 in" in text


def test_a_reading_typed_whole_stays_as_it_was_typed() -> None:
    """Logs from before the tool added the constant read the same for ever."""
    state = job(depth(job(sheet="whelk-4"), "2.2505 in"), sheet="whelk-4")
    assert last(state).values == pytest.approx((2.2505 * INCH,))
    assert last(state).shown == ()


def test_a_constant_found_on_a_master_counts_for_that_reading() -> None:
    start = job(sheet="whelk-4")
    own = depth(start, "1.0005 in", as_shown=True, constant="1.2510 in")
    assert last(job(own, sheet="whelk-4")).values == pytest.approx((2.2515 * INCH,))


def test_the_page_asks_for_what_the_gauge_shows() -> None:
    view = setup.view(job(sheet="whelk-4"), SETTINGS)
    document = say_setup.say(view, Style({}))
    forms = [
        ask for section in document.sections for ask in asks(section.blocks)
        if ask.fixed.get("target") == "pinion-depth"
    ]  # fmt: skip
    assert forms and all(ask.fixed["as_shown"] is True for ask in forms)
    assert all(ask.fields[0].label == "What the gauge shows" for ask in forms)
    assert any(f.name == "constant" and f.value == "1.2500 in" for a in forms for f in a.fields)


def entry(body: Body) -> Entry:
    """A body as an entry that is about to be taken."""
    return Entry("entry-9999", body.KIND, body.model_dump(mode="json"), "AB", MOMENT)


def test_a_constant_added_by_hand_already_is_asked_about() -> None:
    state = job(sheet="whelk-4")
    asked = check_entry(state, entry(depth(state, "2.2500 in", as_shown=True)))
    assert asked and "without its constant" in asked[0].because
    assert check_entry(state, entry(depth(state, "1.0000 in", as_shown=True))) == ()


@pytest.mark.parametrize(("old", "new"), [("+2", "+7"), ("+6", "-3"), ("0", "-4"), ("-5", "+1")])
@pytest.mark.parametrize("which", ["whelk", "winkle"])
def test_an_etched_number_moves_the_first_guess_as_the_drawing_says(
    which: str, old: str, new: str
) -> None:
    """Own drawing: the crossing at 0, the pinion's face at N + e when it runs right.

    Whelk: the pack lies outside the inner cup, so the face stands at H - t. Winkle: the pack lies
    under the lower cup's far side, so the face stands at H + t. The old pack was right for the old
    number; what the new one needs follows from these two lines alone.
    """
    if which == "whelk":
        text, key, place, pack = whelk(), "pinion-depth", "box.input.shaft", "depth-pack"
        out = kinds.PackFitted(adjuster=pack, occasion="as-found", shims=("0.020 in", "0.010 in"))
        signs = tuple(
            kinds.SignConfirmed(adjuster=k, says="so")
            for k in ("depth-pack", "crush-sleeve", "gear-ring", "output-nut")
        )
        stands, t = (lambda t: -t), 0.030 * INCH
        bodies: tuple[Body, ...] = (out, *signs)
    else:
        text, key, place, pack = winkle(), "pinion-height", "lower.pinion", "height-pack"
        bodies, stands, t = (*FOUND, *SIGNS), (lambda t: t), 0.55e-3
    state = job(*bodies, *new_pinion(place, old, new), sheet=text)
    line = line_of(state, key)
    assert line.forecast is not None and line.limits.low and line.limits.high
    # With the old pack the face stands where it stood; right for the new piece is de farther out.
    de = (int(new) - int(old)) * 1e-5
    off = stands(t) - (stands(t) + de)
    middle = (line.limits.low + line.limits.high) / 2
    assert line.forecast.mean - middle == pytest.approx(off, rel=0.15)
    seat = next(s for s in setup.view(state, SETTINGS).seats if s.adjuster.key == pack)
    moved = stands(sum(seat.advised_sizes)) - stands(t)
    assert moved * de > 0 or abs(de) < 2e-5
    blind = job(*bodies, *new_pinion(place, old, new)[:2], sheet=text)
    assert line_of(blind, key).forecast.deviation > 2 * line.forecast.deviation  # type: ignore[union-attr]


def test_the_etched_number_of_the_fitted_piece_is_reckoned_into_its_readings() -> None:
    """The box's dial stands 5 hundredths higher for a pinion that must stand 5 farther out."""
    start = job(sheet=whelk())
    bodies = (*new_pinion("box.input.shaft", "+2", "+5"), depth(start, "1.0000 in", as_shown=True))
    state = job(*bodies, sheet=whelk())
    assert last(state).values == pytest.approx((2.25 * INCH - 0.05e-3,))
    assert last(job(*bodies, sheet=whelk(etched_sign=1))).values == pytest.approx(
        (2.25 * INCH + 0.05e-3,)
    )
    assert "+0.050 mm; taken off what the gauge shows" in said(state)


def test_no_reading_counts_before_the_etched_number_is_typed() -> None:
    start = job(sheet=whelk())
    state = job(*new_pinion("box.input.shaft", "+2", "+5")[:3],
                depth(start, "1.0000 in", as_shown=True), sheet=whelk())  # fmt: skip
    assert "isn't typed yet" in last(state).why_not and not last(state).counts
    assert "Type the number etched on the pinion first" in said(
        job(*(kinds.SignConfirmed(adjuster=k, says="so")
              for k in ("depth-pack", "crush-sleeve", "gear-ring", "output-nut")),
            kinds.StepDone(step="dry:pinion-number", outcome="skipped"),
            *new_pinion("box.input.shaft", "+2", "+5")[:3],
            kinds.PackFitted(adjuster="depth-pack", occasion="trial-1", shims=("0.020 in",)),
            sheet=whelk())
    )  # fmt: skip


def test_a_bare_etched_number_without_a_step_is_refused_and_a_slip_is_asked_about() -> None:
    bare = whelk().replace('step = "0.01 mm"\n', "")
    number = kinds.Reading(target="pinion-number", values=("+5",))
    with pytest.raises(FormErrors, match="with its unit"):
        check_entry(job(sheet=bare), entry(number))
    slip = kinds.Reading(target="pinion-number", values=("5 mm",))
    assert "hundredths" in check_entry(job(sheet=whelk()), entry(slip))[0].because


def test_a_sheet_must_say_which_way_an_etched_number_counts() -> None:
    with pytest.raises(SheetError, match="etched_sign"):
        load(whelk().replace("etched_sign = -1\n", ""), "sheet")


def test_a_number_told_in_words_only_is_a_gap_until_its_way_is_said() -> None:
    words = sheet_text().replace(
        'key = "height-pack"', 'key = "height-pack"\netched = "pinion head, hundredths"', 1
    )
    assert "so it isn't reckoned" in said(job(*FOUND, *SIGNS, sheet=words))
    told = kinds.SheetAdded(
        table="dry_readings",
        item={"key": "height-pack.etched", "name": "etched", "position": "lower.pinion",
              "adjuster": "height-pack", "etched": True, "step": "0.01 mm", "sign": "1"},
    )  # fmt: skip
    state = job(*FOUND, *SIGNS, told, sheet=words)
    assert "so it isn't reckoned" not in said(state)
    assert state.lookup.dry_readings["height-pack.etched"].sign == 1
