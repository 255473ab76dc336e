"""What a reading leads to: read again, put right before the rest is built, or change packs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import pytest

from casewright.job import kinds
from casewright.job.kinds import Body
from casewright.phases.setup import SetupView
from casewright.reasoning.shim_choice import ResponseForecast
from casewright.voice import say_setup
from casewright.voice.document import Ask, Fold
from casewright.voice.quantities import Style
from casewright.voice.say_setup_words import interval
from tests.phases.cast import job
from tests.phases.test_setup import FOUND, MM, SIGNS, card_texts, conditions, fitted, look, rebuilt

WHELK: tuple[Body, ...] = (
    *(kinds.SignConfirmed(adjuster=key, says="so")
      for key in ("depth-pack", "crush-sleeve", "gear-ring", "output-nut")),
    kinds.PackFitted(adjuster="depth-pack", occasion="as-found", shims=("0.020 in", "0.010 in")),
    kinds.PackFitted(adjuster="depth-pack", occasion="trial-1", shims=("0.020 in", "0.010 in")),
)  # fmt: skip


def card_words(view: SetupView) -> str:
    """The card as one text."""
    return "\n".join(card_texts(say_setup.say(view, MM).card))


def asks(blocks: Iterable[object]) -> Iterator[Ask]:
    """Every form of some blocks, folded ones too."""
    for block in blocks:
        if isinstance(block, Ask):
            yield block
        elif isinstance(block, Fold):
            yield from asks(block.blocks)


def depth(value: float) -> kinds.Reading:
    """The pinion's depth in the first trial [in]."""
    held = conditions(job(sheet="whelk-4"), "pinion-depth")
    return kinds.Reading(
        target="pinion-depth", values=(f"{value} in",) * 3, occasion="trial-1", conditions=held
    )


def read(key: str, value: str, count: int = 1, occasion: str = "trial-1") -> kinds.Reading:
    """A counted reading of the twin-gear leg."""
    return kinds.Reading(
        target=key, values=(value,) * count, occasion=occasion, conditions=conditions(job(), key)
    )


def first_trial(lash: str, *again: kinds.Reading) -> list[Body]:
    """Packs as they came out, all readings good but the ahead lash."""
    told: list[Body] = [*FOUND, *SIGNS]
    told += fitted(look(job(*told)))
    return [
        *told, read("pinion-height", "0.65 mm", 3), read("drive-preload", "0.80 N·m", 3),
        read("ahead-lash", lash, 4), read("propeller-play", "0.25 mm"),
        read("astern-lash", "0.80 mm", 4), *again,
    ]  # fmt: skip


def test_a_misreading_that_was_read_again_stands_in_nobodys_way() -> None:
    """1.50 mm for 0.50 mm: named once, and out of the way once the lash is read as it is."""
    before = look(job(*first_trial("1.50 mm")))
    assert before.stage == "again" and before.plan is not None
    assert before.plan.suspect == "ahead-lash"
    state = job(*first_trial("1.50 mm", read("ahead-lash", "0.50 mm", 4)))
    view = look(state)
    assert view.stage == "stop" and view.plan is not None
    assert (view.plan.suspect, view.plan.set_aside) == ("", "ahead-lash")
    advice = next(s for s in say_setup.say(view, MM).sections if s.key == "advice")
    assert any("One reading of the ahead lash is left out" in str(block) for block in advice.blocks)


def test_a_misreading_is_read_again_before_the_next_response() -> None:
    told = first_trial("0.50 mm")[:-4]
    height = look(job(*told[:-1], read("pinion-height", "1.65 mm", 3)))
    assert height.stage == "again" and "pinion height" in card_words(height)
    assert any(not line.read_now for line in height.lines)


def test_a_depth_that_is_out_is_put_right_before_a_sleeve_is_crushed() -> None:
    """The sheet's order: depth first; a crushed sleeve is scrap when the shaft comes out again."""
    good = look(job(*WHELK, depth(2.250), sheet="whelk-4"))
    assert good.stage == "read"
    out = look(job(*WHELK, depth(2.246), depth(2.246), sheet="whelk-4"))
    assert (out.stage, out.occasion) == ("change", "trial-2")
    words = card_words(out)
    assert "before the rest is built" in words and "input shaft turning torque" in words


def test_who_has_built_on_already_reads_on_at_the_same_assembly() -> None:
    """While packs are to be changed, what is read belongs to the assembly that stands."""
    view = look(job(*WHELK, depth(2.246), depth(2.246), sheet="whelk-4"))
    assert view.stage == "change" and (view.occasion, view.standing) == ("trial-2", "trial-1")
    said = say_setup.say(view, MM)
    assert said.card is not None
    on_card = [one.fixed["target"] for one in asks(said.card.blocks) if one.kind == "reading"]
    assert on_card and "pinion-depth" not in on_card
    everywhere = [a for s in said.sections for a in asks(s.blocks)] + list(asks(said.card.blocks))
    taken = [one for one in everywhere if one.kind in ("reading", "pattern-seen")]
    built = [one for one in taken if one.fixed["occasion"] not in ("as-found", "final")]
    assert built and {one.fixed["occasion"] for one in built} == {"trial-1"}
    assert next(s for s in said.sections if s.key == "readings").title == "Readings, trial 1"


@pytest.mark.parametrize("value", [2.243, 2.246, 2.255])
def test_what_two_readings_agree_on_goes_into_the_pack_whole(value: float) -> None:
    """By hand: a thousandth more shim reads a thousandth less, the middle is 2.250 in."""
    view = look(job(*WHELK, depth(value), depth(value), sheet="whelk-4"))
    told = sum(view.seats[0].advised_sizes) / 25.4e-3
    assert told == pytest.approx(0.030 + (value - 2.250), abs=0.0011)


def test_a_pattern_that_forbids_to_stop_is_looked_at_again_not_a_gauge() -> None:
    bodies, _ = rebuilt()
    seen = kinds.PatternSeen(
        mesh="lower.ahead-mesh", occasion=look(job(*bodies)).occasion, drive_along=8, drive_up=50,
        coast_along=8, coast_up=50,
    )  # fmt: skip
    view = look(job(*bodies, seen))
    card = say_setup.say(view, MM).card
    assert view.stage == "again" and card is not None
    assert card.title == "The pattern of the ahead mesh speaks against it"
    assert "move the gear out" in card_words(view)
    assert not any(getattr(block, "kind", "") == "reading" for block in card.blocks)


def test_no_shaft_is_expected_to_turn_with_less_than_no_torque() -> None:
    told = ResponseForecast("drive-preload", 0.4, 0.6, -0.8, 1.6, 0.3)
    assert interval(told, "torque", Style({})) == "0.00 to 1.60 N·m"


def test_shims_that_were_fitted_are_there_whatever_the_shelf_said() -> None:
    """Two of 0.20 counted, three fitted at two seats: the third is in the leg."""
    lines = (("0.10 mm", 9), ("0.20 mm", 2), ("0.30 mm", 9), ("0.50 mm", 9), ("2.60 mm", 1))
    shelf = kinds.ShelfCounted(lines=tuple({"size": size, "count": n} for size, n in lines))  # type: ignore[misc]
    packs = [
        kinds.PackFitted(adjuster=key, occasion="trial-1", shims=shims)
        for key, shims in (("height-pack", ("0.20 mm", "0.20 mm", "0.10 mm")),
                           ("cover-pack", ("0.20 mm", "0.30 mm")))
    ]  # fmt: skip
    view = look(job(*FOUND, *SIGNS, shelf, *packs))
    assert view.plan is not None and not view.plan.trouble
    assert view.stage == "fit" and view.next_seat is not None and view.next_seat.advised
