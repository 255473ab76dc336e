"""What the strip room says: the card first, cautions before buttons, forms that the log takes."""

from __future__ import annotations

import itertools
import json
import re
from collections.abc import Iterator
from xml.etree import ElementTree

import pytest

from casewright.errors import LockedError
from casewright.job import kinds
from casewright.job.entry import Entry
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.voice.document import Ask, Block, Card, Caution, Document, Fold, Picture, Say
from casewright.voice.forms import body_from
from casewright.voice.plain import texts
from casewright.voice.quantities import say_minutes
from casewright.voice.rooms import document
from casewright.voice.say_strip_card import imperative
from tests.phases.cast import MOMENT, SETTINGS, job
from tests.phases.test_strip import PREPARED, TO_CARRIER, counted, done, wanted
from tests.phases.test_strip_ladder import STUCK, condemned, setting

BARE = '[sheet]\nsheet_version = 1\nkey = "bare-1"\nname = "Bare (invented)"\n'
STOPPED = kinds.Attempt(joint="carrier-out", rung="stop", outcome="abandoned")
CREEPING = kinds.Attempt(joint="carrier-out", rung="penetrant", outcome="prepared")
BROKEN = counted("lower-off-upper", 5, state="broken, stays in")
ODD = kinds.SheetAdded(
    table="joints",
    item={"key": "odd-one", "name": "odd plug out", "kind": "other", "holds": ["lower.housing"],
          "ladder": "glued plug"},
)  # fmt: skip
LOOP = kinds.SheetAdded(table="blocks", item={"joint": "drain-oil", "after": ["carrier-out"]})
JOBS: dict[str, tuple[kinds.Body, ...]] = {
    "fresh": (),
    "counting": tuple(done(*PREPARED, "propeller-nut-off", "propeller-off",
                           "photo:lower-off-upper")),
    "counted in part": (*done(*PREPARED, "propeller-nut-off", "propeller-off",
                              "photo:lower-off-upper"), counted("lower-off-upper", 1, 2), BROKEN),
    "a reading is next": tuple(
        done(*PREPARED, "propeller-nut-off", "propeller-off", "photo:lower-off-upper",
             "lower-off-upper", "pump-off", "impeller-off")),
    "a pack lies there": tuple(done(*TO_CARRIER, "carrier-out")),
    "stuck": (*done(*TO_CARRIER), STUCK),
    "creeping": (*done(*TO_CARRIER), STUCK, CREEPING),
    "scrap": (*done(*TO_CARRIER), STUCK, *condemned("lower.carrier", "lower.housing")),
    "stopped": (*done(*TO_CARRIER), STOPPED),
    "no method": (*done(*TO_CARRIER), STUCK, setting("protect", "lower.carrier"),
                  setting("tools-missing", "pin spanner,slide hammer")),
    "odd ladder": (ODD, kinds.StepDone(step="odd-one", outcome="stuck")),
    "selective": (wanted("lower.prop.shaft", "lower.pinion"),),
    "loop": (LOOP,),
}  # fmt: skip


def strip_page(state: State) -> Document:
    return document("strip", state, SETTINGS, with_map=False)


def text_of(state: State) -> str:
    """Every text of the page, those of the card and the cautions too."""
    page = strip_page(state)
    cautions = [one.text for one in all_blocks(page) if isinstance(one, Caution)]
    said = [one.text for one in all_blocks(page) if isinstance(one, Say)]
    return "\n".join((*texts(page), *cautions, *said))


def blocks(items: tuple[Block, ...]) -> Iterator[Block]:
    for item in items:
        yield item
        if isinstance(item, (Fold, Card)):
            yield from blocks(item.blocks)


def all_blocks(page: Document) -> list[Block]:
    card = (page.card,) if page.card else ()
    return list(blocks((*card, *(one for section in page.sections for one in section.blocks))))


def card_of(state: State) -> Card:
    card = strip_page(state).card
    assert card is not None
    return card


def filled(ask: Ask) -> Iterator[dict[str, list[str]]]:
    """What a person might post: each tap, the first choice, plain figures and words."""
    posted: dict[str, list[str]] = {"fixed": [json.dumps(dict(ask.fixed))]}
    taps: list[tuple[str, str]] = []
    for field in ask.fields:
        if field.kind == "tap":
            taps = [(field.name, value) for value, _ in field.choices]
        elif field.kind in ("choice", "ticks"):
            posted[field.name] = [field.choices[0][0]]
        elif field.kind == "quantity":
            numbers = {"N·m": "0.8", "mm": "0.40"}.get(field.unit, "0.016")
            posted |= {field.name: [numbers] * field.boxes, "unit": [field.unit]}
        elif field.kind == "number":
            posted[field.name] = ["12"]
        else:
            posted[field.name] = ["usually" if field.name == "value" else "seen by AB"]
    for name, value in taps or [("", "")]:
        yield posted | ({name: [value]} if name else {})


@pytest.mark.parametrize("name", JOBS)
def test_every_form_makes_an_entry_that_the_log_takes(name: str) -> None:
    state = job(*JOBS[name])
    numbers = itertools.count()
    for ask in [one for one in all_blocks(strip_page(state)) if isinstance(one, Ask)]:
        for posted in filled(ask):
            body = body_from(ask.kind, posted)
            entry = Entry(f"entry-{next(numbers):05d}x", ask.kind, body, "AB", MOMENT)
            try:
                check_entry(state, entry)
            except LockedError:
                # Only the list's ticks may meet a lock: they are meant to be tapped in order.
                assert ask.title.startswith(("A step done earlier", "Several in one go")), ask.title


@pytest.mark.parametrize("sheet", ["whelk-4", "skeleton-leg-under-a-hull",
                                   "skeleton-single-gear-box", "skeleton-twin-gear-leg", BARE])  # fmt: skip
def test_a_half_filled_sheet_has_a_page(sheet: str) -> None:
    page = strip_page(job(sheet=sheet))
    assert page.sections
    assert list(texts(page))


def test_without_a_sheet_the_page_says_what_is_missing() -> None:
    page = document("strip", State(), SETTINGS)
    assert page.card is None
    assert "No drive sheet" in "\n".join(texts(page))


def test_the_card_is_the_next_step_in_the_imperative() -> None:
    assert card_of(job()).title == "Drain the oil"
    assert card_of(job(*done("drain-oil"))).title == "Take the propeller nut off"


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("lower gearcase off the upper housing", "Take the lower gearcase off the upper housing"),
        ("propeller shaft out of the carrier", "Take the propeller shaft out of the carrier"),
        ("lower cup of the pair out, with the height shims",
         "Take the lower cup of the pair out, with the height shims"),
        ("drain the oil", "Drain the oil"),
        ("press the sleeve out", "Press the sleeve out"),
    ],
)  # fmt: skip
def test_a_step_is_told_as_something_to_do(name: str, told: str) -> None:
    assert imperative(name) == told


@pytest.mark.parametrize("name", JOBS)
def test_cautions_stand_before_the_button_that_records_the_step(name: str) -> None:
    card = strip_page(job(*JOBS[name])).card
    assert card is not None
    kinds_ = [type(one) for one in card.blocks if isinstance(one, (Caution, Ask))]
    step = [
        k for k, one in enumerate(b for b in card.blocks if isinstance(b, (Caution, Ask)))
        if isinstance(one, Ask) and one.kind in ("step-done", "attempt")
    ]  # fmt: skip
    assert not step or Caution not in kinds_[step[-1] :]


def test_the_propeller_asks_for_the_battery_first() -> None:
    card = card_of(job(*done("drain-oil", "propeller-nut-off")))
    assert card.title == "Take the propeller off"
    assert any(isinstance(one, Caution) and "ignition" in one.text for one in card.blocks)


def test_the_hidden_fastener_is_not_in_the_all_out_button() -> None:
    card = card_of(job(*JOBS["counting"]))
    assert card.title.startswith("Count off 6 fasteners")
    asks = [one for one in card.blocks if isinstance(one, Ask)]
    together = next(one for one in asks if one.button.startswith("All"))
    assert together.fixed["places"] == [1, 2, 3, 4, 5]
    hidden = [one for one in card.blocks if isinstance(one, Caution) and one.title == "Hidden"]
    assert "trim anode" in hidden[0].text


def test_a_stuck_joint_shows_its_next_method_odds_time_and_risk() -> None:
    card = card_of(job(*JOBS["stuck"]))
    assert card.where.startswith("stuck: bearing carrier")
    said = text_of(job(*JOBS["stuck"]))
    assert re.search(r"about \d in 10", said)
    assert "The usual order from gentle to rough would cost" in said
    assert "Saving the" in said
    tones = [one.tone for one in all_blocks(strip_page(job(*JOBS["stuck"])))
             if isinstance(one, Say)]  # fmt: skip
    assert "estimate" in tones


def test_scrap_is_cut_and_the_page_says_why() -> None:
    card = card_of(job(*JOBS["scrap"]))
    assert card.title == "Relief cuts in the carrier"
    assert "risks nothing that you keep" in text_of(job(*JOBS["scrap"]))
    assert any(isinstance(one, Caution) and "face shield" in one.text for one in card.blocks)


def test_penetrant_then_a_flame_carries_the_caution_of_the_pair() -> None:
    tools = setting("tools-missing", "pin spanner,jacking screws,carrier puller,slide hammer")
    state = job(*done(*TO_CARRIER), STUCK, CREEPING, tools)
    said = text_of(state)
    assert "wash it off" in said


def test_while_it_creeps_the_card_offers_what_can_be_done_meanwhile() -> None:
    card = card_of(job(*JOBS["creeping"]))
    assert card.title.startswith("Wait, then")
    assert any(isinstance(one, Fold) and one.title.startswith("Meanwhile") for one in card.blocks)


def test_before_a_stuck_joint_is_freed_the_card_names_what_would_be_lost() -> None:
    steps = done("drain-oil", "propeller-nut-off", "propeller-off")
    sticks = kinds.StepDone(step="ring-nut-off", outcome="stuck")
    read = kinds.Reading(target="ahead-lash", values=("0.40 mm",) * 4)
    card = card_of(job(*steps, sticks, read))
    first = next(one for one in card.blocks if isinstance(one, Caution) and "Still" in one.title)
    assert "astern lash" in first.text
    assert "ahead lash" not in first.text


def test_a_pack_on_the_bench_is_measured_first() -> None:
    card = card_of(job(*JOBS["a pack lies there"]))
    assert card.title == "Measure the astern gear pack now"


def test_given_up_loop_and_odd_ladder_are_said_in_plain_words() -> None:
    assert "Given up: bearing carrier" in text_of(job(*JOBS["stopped"]))
    assert "never come out" in text_of(job(*JOBS["loop"]))
    assert "glued plug" in text_of(job(*JOBS["odd ladder"]))
    assert card_of(job(*JOBS["odd ladder"])).title == "Which kind of joint sticks?"


def test_the_page_says_the_minutes_of_the_plan() -> None:
    from casewright.phases import strip

    found = strip.view(job(), SETTINGS)
    assert found.plan is not None
    assert say_minutes(found.plan.minutes) in text_of(job())


@pytest.mark.parametrize("name", ["fresh", "stuck", "stopped"])
def test_pictures_are_sound_drawings_with_their_words(name: str) -> None:
    pictures = [one for one in all_blocks(strip_page(job(*JOBS[name]))) if isinstance(one, Picture)]
    assert len(pictures) >= 2
    for picture in pictures:
        root = ElementTree.fromstring(picture.svg)
        assert root.tag.endswith("svg")
        assert len(picture.alt) > 40
        assert not re.search(r'(fill|stroke)="#', picture.svg), "a colour of its own"


def test_a_finished_strip_and_a_signed_job_have_nothing_next() -> None:
    signed = job(*done("drain-oil"), kinds.SignedOff(signed_by="AB"))
    assert strip_page(signed).card is None
    every = [joint.key for joint in job().lookup.sheet.joints]
    packs = [
        kinds.PackFitted(adjuster=one.key, occasion="as-found", shims=("0.50 mm",))
        for one in job().lookup.sheet.adjusters
    ]
    finished = job(*done(*every), *packs)
    assert strip_page(finished).card is None
    assert "Everything that has to come out is out" in text_of(finished)
