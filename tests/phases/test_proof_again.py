"""A boundary opened after a tight test asks for a new one; a bleed gives the volume; faces unknown."""

from __future__ import annotations

import pytest

from casewright.errors import FormErrors
from casewright.job import kinds
from casewright.job.build import build
from casewright.job.entry import Entry, accept
from casewright.job.fold import fold
from casewright.job.gaps import gaps
from casewright.job.leak_tests import circuit_line
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.job.volumes import known_volume
from casewright.voice.plain import texts
from casewright.voice.rooms import document
from tests.phases.cast import MOMENT, SETTINGS, job, log_of, opening, sheet_text
from tests.phases.proof_cast import CARRIER, leak, new_at, opened

SEAL = "lower.prop.seal-inner"
TESTS = (leak("low", 20.0), leak("full", 70.0), leak("vacuum", -35.0))


def words(state: State) -> dict[str, str]:
    line = circuit_line(state, state.lookup.circuits["gear-oil"])
    return {one.test.name: one.word for one in line.tests}


def test_a_seal_fitted_after_a_tight_test_asks_for_a_new_one() -> None:
    tight = job(*opened(*CARRIER), *TESTS)
    assert set(words(tight).values()) == {"tight"}
    again = job(*opened(*CARRIER), *TESTS, *new_at(SEAL))
    assert set(words(again).values()) == {"opened since"}
    line = circuit_line(again, again.lookup.circuits["gear-oil"])
    assert line.next_test is not None
    assert line.next_test.judged is not None
    assert "seal" in line.next_test.judged.message.lower()
    missing = [gap.item for gap in gaps(again, build(again), SETTINGS)]
    assert sum(item.startswith("sealing test: ") for item in missing) == 3
    fresh = job(*opened(*CARRIER), *TESTS, *new_at(SEAL), *TESTS)
    assert set(words(fresh).values()) == {"tight"}


def test_a_joint_of_the_boundary_opened_after_the_test_asks_for_a_new_one() -> None:
    assert set(words(job(*opened(*CARRIER[:-1]), *TESTS, *opened(CARRIER[-1]))).values()) == {
        "opened since"
    }


def test_a_piece_that_is_no_seal_of_the_circuit_leaves_the_test_alone() -> None:
    state = job(*opened(*CARRIER), *TESTS, *new_at("lower.propeller-nut"))
    assert set(words(state).values()) == {"tight"}


def test_what_happened_before_the_test_but_was_typed_later_leaves_it_alone() -> None:
    log = log_of([*opening(), *opened(*CARRIER), *TESTS])
    placed = new_at(SEAL)[0]
    entry = Entry("late-entry-1", placed.KIND, placed.model_dump(mode="json"), "AB",
                  "2026-03-04T08:00:00+00:00")  # fmt: skip
    state = fold([*log, accept(entry, len(log) + 1, MOMENT, log[-1].hash)])
    assert set(words(state).values()) == {"tight"}


def bleed(**more: str) -> kinds.Calculated:
    typed = {"bleed": "100 ml/min", "minutes": "1 min", "before": "20 kPa", "after": "15 kPa"}
    return kinds.Calculated(name="circuit-volume:gear-oil", inputs=typed | more, outputs={})


def test_a_known_bleed_gives_the_circuits_volume() -> None:
    """Boyle's law by hand: 0.1 L at 101.325 kPa for 5 kPa is 2.0265 L."""
    state = job(bleed(step="0.1 kPa"))
    known = known_volume(state, state.lookup.circuits["gear-oil"])
    assert known is not None
    assert known.value == pytest.approx(101.325e3 * 0.1e-3 / 5e3)
    assert "known bleed" in known.origin
    said = " ".join(texts(document("proof", state, SETTINGS, with_map=False)))
    assert "2.026" in said or "2.027" in said
    assert "the sheet says" in said


@pytest.mark.parametrize(
    ("more", "words"),
    [({"after": "21 kPa"}, "let out"), ({"bleed": ""}, "not given"), ({"minutes": "1 kg"}, "a time"),
     ({"own": "6 kPa"}, "whole drop")],
)  # fmt: skip
def test_a_bleed_that_cant_be_is_refused(more: dict[str, str], words: str) -> None:
    body = bleed(**more).model_dump(mode="json")
    with pytest.raises(FormErrors, match=words):
        check_entry(job(), Entry("bleed-entry-1", "calculation", body, "AB", MOMENT))


def test_a_ring_nut_says_what_isnt_judged_and_an_inch_thread_is() -> None:
    text = sheet_text()
    assert 'thread = "M96x1.5"' in text or "M96" in text
    said = " ".join(texts(document("proof", job(*opened(*CARRIER)), SETTINGS, with_map=False)))
    assert "bears on a face of its own" in said
    assert "expected a metric size" not in said
    inch = text.replace('"M10', '"3/8-16 UNC').replace("M10x1.5", "3/8-16")
    state = job(*opened(*CARRIER), sheet=inch)
    assert "expected a" not in " ".join(texts(document("proof", state, SETTINGS, with_map=False)))


def test_a_kept_torque_leak_and_pack_are_shown_as_they_were() -> None:
    kept = kinds.Calculated(
        name="sealing test: gear oil, full", inputs={"log": "x"},
        outputs={"in words": "tight", "leak": "0.2 Pa·L/s"}, formula="Q = V·Δp/Δt",
    )  # fmt: skip
    pack = kinds.PackFitted(
        adjuster="ahead-pack", occasion="trial-1", shims=("0.30 mm",),
        gone_by={"name": "packs advised", "outputs": {"ahead lash": "0.31 mm"}, "chance": 0.9},
    )  # fmt: skip
    state = job(kept)
    section = next(s for s in document("proof", state, SETTINGS).sections if s.key == "sums-kept")
    assert "0.2 Pa·L/s" in str(section)
    adjuster = next(iter(state.lookup.adjusters))
    body = pack.model_copy(update={"adjuster": adjuster})
    section = next(
        s for s in document("proof", job(body), SETTINGS).sections if s.key == "sums-kept"
    )
    assert "all windows hold" in str(section)


def test_two_who_fitted_the_same_pack_by_other_pages_dont_contradict_each_other() -> None:
    first = kinds.PackFitted(adjuster="a", occasion="final", shims=("0.30 mm",))
    second = first.model_copy(update={"gone_by": {"chance": 0.8}})
    assert first.as_answered() == second.as_answered()
