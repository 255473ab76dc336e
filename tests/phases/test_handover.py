"""Hand-over: completeness within the job's scope, named exceptions, signature, what goes along."""

from __future__ import annotations

import json
import tomllib
from dataclasses import replace
from importlib import resources

import pytest

from casewright.job import kinds
from casewright.job.build import build
from casewright.job.entry import Entry
from casewright.job.kinds import Body
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.phases.handover import HandoverView, view
from casewright.voice import say_handover
from casewright.voice.document import Ask, Caution, Document, Link
from casewright.voice.forms import body_from
from casewright.voice.plain import texts
from casewright.voice.rooms import style_for
from tests.phases.cast import MOMENT, SETTINGS, job
from tests.phases.cast import sheet_text as text_of
from tests.phases.proof_asks import asks_of, check, posted
from tests.phases.proof_cast import CARRIER, leak, new_at, opened, torque

RESEAL = {"scope": "reseal", "rooms": ("strip", "proof", "handover")}
NEW = (
    "lower.plug-washers", "lower.propeller-nut", "lower.carrier.tab-washer",
    "lower.carrier.o-ring", "lower.prop.seal-inner", "lower.prop.seal-outer",
    "lower.carrier.needle",
)  # fmt: skip


def whole_reseal() -> list[Body]:
    """A reseal of the propeller shaft with everything that it asks for."""
    return [
        *opened(*CARRIER),
        *new_at(*NEW),
        kinds.Reading(target="propeller-play", occasion="final", values=("0.25 mm",)),
        kinds.Reading(
            target="astern-lash",
            occasion="final",
            values=("0.80", "0.82", "0.78", "0.80"),
            unit="mm",
        ),
        torque("ring-nut-off", 1, "180"),
        torque("propeller-nut-off", 1, "75"),
        leak("low", 20),
        leak("full", 70),
        leak("vacuum", -35),
        kinds.OilFilled(
            volume="0.94", unit="L", upper_plug_first=True, rested="20 min", level_checked=True
        ),
        *(
            kinds.FunctionTested(test=key, passed=True)
            for key in ("shift-both-ways", "pump-flow", "tank-run")
        ),
    ]


def room(state: State) -> tuple[HandoverView, Document, str]:
    """View, document and all its words."""
    seen = view(state, SETTINGS)
    said = say_handover.say(seen, style_for(state, SETTINGS))
    return seen, said, "\n".join(texts(said))


def items(state: State) -> list[str]:
    return [gap.item for gap in view(state, SETTINGS).gaps]


def without(kind: type[Body], bodies: list[Body]) -> list[Body]:
    return [body for body in bodies if not isinstance(body, kind)]


def test_a_whole_reseal_is_ready_to_sign() -> None:
    seen, said, _ = room(job(*whole_reseal(), **RESEAL))
    assert [gap.item for gap in seen.gaps] == []
    assert said.card is not None
    assert said.card.title == "Sign off the build"


def test_a_reseal_asks_for_two_readings_and_no_pack() -> None:
    needed = build(job(*opened(*CARRIER), **RESEAL))
    assert [one.target for one in needed.readings] == ["propeller-play", "astern-lash"]
    assert needed.packs == ()


def test_set_up_in_scope_asks_for_every_response_and_every_pack_that_came_out() -> None:
    needed = build(job(*opened(*CARRIER, "cover-off")))
    assert len(needed.readings) == 5
    assert {one.adjuster for one in needed.packs} == {"astern-pack", "thrust-ring", "cover-pack"}


@pytest.mark.parametrize(
    ("kind", "item"),
    [
        (kinds.PiecePlaced, "part: propeller shaft seal, inner"),
        (kinds.Reading, "reading: astern lash"),
        (kinds.Torqued, "torque: carrier ring nut, step 1"),
        (kinds.LeakLogged, "sealing test: gear oil space, vacuum"),
        (kinds.OilFilled, "oil fill"),
        (kinds.FunctionTested, "functional test: run in the tank"),
    ],
)
def test_each_thing_left_out_is_a_gap_by_its_name(kind: type[Body], item: str) -> None:
    assert item in items(job(*without(kind, whole_reseal()), **RESEAL))


@pytest.mark.parametrize(
    ("body", "item"),
    [
        (torque("ring-nut-off", 1, "120"), "torque: carrier ring nut, step 1"),
        (
            kinds.Reading(target="propeller-play", occasion="final", values=("0.50 mm",)),
            "reading: propeller shaft end play",
        ),
        (leak("full", 70, lost=0.08), "sealing test: gear oil space, full"),
        (leak("full", 128), "stop: gear oil space over its ceiling"),
        (kinds.FunctionTested(test="pump-flow", passed=False), "functional test: water pump flow"),
    ],
)
def test_what_was_done_and_is_not_good_is_a_gap_too(body: Body, item: str) -> None:
    assert item in items(job(*whole_reseal(), body, **RESEAL))


def test_a_one_time_part_replaced_by_a_donors_is_a_gap() -> None:
    donor = kinds.PieceKnown(piece="donor-1", position="lower.carrier.o-ring", origin="donor")
    placed = kinds.PiecePlaced(piece="donor-1", position="lower.carrier.o-ring", occasion="final")
    assert "part: carrier O-ring" in items(job(*whole_reseal(), donor, placed, **RESEAL))


def test_a_one_time_part_kept_on_a_persons_word_still_needs_an_exception() -> None:
    bodies = [
        body
        for body in whole_reseal()
        if getattr(body, "position", "") != "lower.carrier.tab-washer"
    ]
    kept = kinds.VerdictGiven(
        position="lower.carrier.tab-washer", decision="use again", reason="no spare on the island"
    )
    gaps = view(job(*bodies, kept, **RESEAL), SETTINGS).gaps
    assert [gap.item for gap in gaps] == ["part: ring nut tab washer"]
    assert "one-time part is to be used again" in gaps[0].why


def test_new_bearings_bring_the_window_for_new_bearings() -> None:
    # The sheet: 0.9 to 1.7 N·m with new bearings, 0.5 to 1.1 N·m with used ones.
    steps = opened("cover-off")
    read = kinds.Reading(target="drive-preload", occasion="final", values=("0.7 N·m",))
    used = next(r for r in build(job(*steps, read)).readings if r.target == "drive-preload")
    assert (used.limits.low, used.word) == (pytest.approx(0.5), "inside")
    fresh = build(job(*steps, *new_at("lower.drive.upper-cone", "lower.drive.upper-cup"), read))
    new = next(r for r in fresh.readings if r.target == "drive-preload")
    assert (new.limits.low, new.word) == (pytest.approx(0.9), "outside")


def test_a_reading_within_the_gauges_doubt_of_the_edge_says_so() -> None:
    read = kinds.Reading(target="propeller-play", occasion="final", values=("0.345 mm",))
    needed = build(job(*opened(*CARRIER), read, **RESEAL))
    play = next(one for one in needed.readings if one.target == "propeller-play")
    assert play.word == "inside"
    assert play.at_edge


def test_no_window_in_the_sheet_is_no_gap_once_it_was_read() -> None:
    text = text_of().replace('low = "0.15 mm"\nhigh = "0.35 mm"\nseals = "any"', 'seals = "any"')
    state = job(*whole_reseal(), sheet=text, **RESEAL)
    assert items(state) == []
    assert "no window: kept, no verdict" in room(state)[2]


def test_two_answers_to_one_question_stand_in_the_way() -> None:
    from casewright.job.entry import accept
    from casewright.job.fold import fold
    from tests.phases.cast import log_of, opening

    log = log_of([*opening(**RESEAL), *whole_reseal()])  # type: ignore[arg-type]
    body = kinds.FunctionTested(test="pump-flow", passed=False).model_dump(mode="json")
    blind = Entry("entry-blind", "function-tested", body, "CD", MOMENT, seen=3)
    log.append(accept(blind, len(log) + 1, MOMENT, log[-1].hash))
    found = items(fold(log))
    assert "two answers: function, pump-flow" in found


def sign_form(state: State) -> Ask:
    return next(ask for ask in asks_of(room(state)[1]) if ask.kind == "signed-off")


def test_every_gap_is_excepted_by_its_own_name_with_a_reason() -> None:
    state = job(*without(kinds.FunctionTested, whole_reseal()), **RESEAL)
    ask = sign_form(state)
    body = body_from("signed-off", posted(ask))
    assert [e["item"] for e in body["exceptions"]] == items(state)
    assert all(len(e["reason"]) >= 3 for e in body["exceptions"])
    check_entry(state, Entry("entry-sign", "signed-off", body, "AB", MOMENT))


def test_a_signature_without_a_reason_is_refused() -> None:
    from casewright.errors import FormErrors

    state = job(*without(kinds.FunctionTested, whole_reseal()), **RESEAL)
    given = posted(sign_form(state)) | {"exceptions.0.reason": [""]}
    body = body_from("signed-off", given)
    with pytest.raises(FormErrors):
        check_entry(state, Entry("entry-sign", "signed-off", body, "AB", MOMENT))


def test_after_the_signature_what_was_excepted_rests_and_what_opens_later_does_not() -> None:
    bodies = without(kinds.FunctionTested, whole_reseal())
    state = job(*bodies, **RESEAL)
    exceptions = tuple(
        kinds.NamedException(item=item, reason="tank is dry this week") for item in items(state)
    )
    signed = kinds.SignedOff(signed_by="AB", exceptions=exceptions)
    seen, said, words = room(job(*bodies, signed, **RESEAL))
    assert seen.later == ()
    assert said.card is None
    assert "tank is dry this week" in words
    bad = leak("full", 70, lost=0.08)
    seen, said, _ = room(job(*bodies, signed, bad, **RESEAL))
    assert [gap.item for gap in seen.later] == ["sealing test: gear oil space, full"]
    assert said.card is not None
    assert said.card.title.startswith("Look again")


def test_links_lead_only_to_rooms_of_the_job_and_to_the_book() -> None:
    state = job(*opened(*CARRIER), kinds.SignedOff(signed_by="AB"), **RESEAL)
    links = [b for s in room(state)[1].sections for b in s.blocks if isinstance(b, Link)]
    assert {"book-pdf", "book-html"} <= {link.room for link in links}
    said = json.dumps([repr(block) for s in room(state)[1].sections for block in s.blocks])
    assert "Set-up" not in said


def test_the_next_technician_reads_shims_by_seat_as_found_and_as_fitted() -> None:
    found = kinds.PackFitted(adjuster="astern-pack", occasion="as-found", shims=("0.30 mm",))
    fitted = kinds.PackFitted(
        adjuster="astern-pack", occasion="final", shims=("0.20 mm", "0.13 mm")
    )
    words = room(job(*whole_reseal(), found, fitted, **RESEAL))[2]
    assert "0.30 mm = 0.300 mm" in words
    assert "0.20 mm + 0.13 mm = 0.330 mm" in words


def test_a_pack_that_was_taken_out_and_not_recorded_again_is_a_gap() -> None:
    found = kinds.PackFitted(adjuster="astern-pack", occasion="as-found", shims=("0.30 mm",))
    assert items(job(*whole_reseal(), found, **RESEAL)) == ["pack: astern gear pack"]


def test_what_was_replaced_and_what_was_kept_are_told() -> None:
    seen = view(job(*whole_reseal(), **RESEAL), SETTINGS)
    assert {one.name for one in seen.replaced} >= {"carrier O-ring", "propeller shaft seal, outer"}
    assert "propeller shaft" in seen.kept
    assert "carrier O-ring" not in seen.kept


STATES = {
    "no sheet": lambda: State(),
    "fresh": lambda: job(),
    "opened": lambda: job(*opened(*CARRIER, "cover-off")),
    "half-filled": lambda: job(
        sheet='[sheet]\nsheet_version = 1\nkey = "bare"\nname = "bare"\n', rooms=("handover",)
    ),
}


@pytest.mark.parametrize("name", STATES)
def test_the_room_speaks_on_every_kind_of_job(name: str) -> None:
    said = room(STATES[name]())[1]
    assert any(isinstance(b, Caution) for s in said.sections for b in s.blocks)


def test_every_form_makes_an_entry_that_the_job_takes() -> None:
    state = STATES["opened"]()
    for ask in asks_of(room(state)[1]):
        check(state, ask)


def test_nothing_is_asked_of_a_job_that_opened_nothing_and_sets_nothing_up() -> None:
    state = job(rooms=("proof", "handover"))
    assert items(state) == []
    assert room(state)[1].card is None


def test_a_likely_cause_whose_remedy_is_not_settled_is_a_gap_where_causes_are_in_scope() -> None:
    text = resources.files("casewright.tables.data").joinpath("causes-drive-leg.toml")
    family = tomllib.loads(text.read_text("utf-8"))
    # With a threshold of nothing every cause of the family counts as likely.
    settings = replace(SETTINGS, cause_family=family, cause_threshold=0.0)
    state = job(*opened(*CARRIER))
    found = [gap for gap in view(state, settings).gaps if gap.item.startswith("remedy:")]
    assert found
    settled = kinds.RemedySettled(cause=found[0].key, outcome="done", reason="seals renewed")
    after = [gap.key for gap in view(job(*opened(*CARRIER), settled), settings).gaps if gap.key]
    assert found[0].key not in after
    assert len(after) == len(found) - 1
    narrow = view(job(*opened(*CARRIER), **RESEAL), settings).gaps
    assert not [gap for gap in narrow if gap.item.startswith("remedy:")]
    said = say_handover.say(view(state, settings), style_for(state, settings))
    for ask in asks_of(said):
        check(state, ask)
