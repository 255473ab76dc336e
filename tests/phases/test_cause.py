"""The cause room: state in, view out, words out."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from importlib import resources

import pyagrum
import pytest

from casewright.job.open_causes import open_causes
from casewright.job.rules import check_entry
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.phases.cause import CauseView, view
from casewright.voice.document import Document
from casewright.voice.plain import as_plain
from casewright.voice.quantities import Style
from casewright.voice.say_cause import say
from tests.phases.asks import asks_of, filled
from tests.phases.cast import SETTINGS, job, kinds

TEXT = (
    resources.files("casewright.tables.data").joinpath("causes-drive-leg.toml").read_text("utf-8")
)
FAMILY = tomllib.loads(TEXT)
WITH = replace(SETTINGS, cause_family=FAMILY)
LINE = (
    kinds.Found(key="line-behind-propeller-seen"),
    kinds.Found(key="seal-lip-cut"),
    kinds.Found(key="oil-milky", occasion="as-received"),
    kinds.Found(key="anode-gone", answer="no"),
)


def shown(*bodies: kinds.Body, settings: Settings = WITH, **more: object) -> CauseView:
    """The room's view of a job."""
    return view(job(*bodies, **{"duty": "oyster boat", **more}), settings)


def document(*bodies: kinds.Body) -> Document:
    """What the room says."""
    return say(shown(*bodies), Style())


def words(*bodies: kinds.Body) -> str:
    """All of it as one text."""
    return str(as_plain(document(*bodies)))


@pytest.mark.parametrize("state", [State(), job()], ids=["no job", "a job"])
def test_without_a_family_file_it_says_so_and_goes_on(state: State) -> None:
    found = say(view(state, SETTINGS), Style())
    assert "family file of causes is missing" in str(as_plain(found))
    assert open_causes(state, SETTINGS) == ()


def test_a_broken_family_file_is_told_with_its_mistakes() -> None:
    broken = replace(SETTINGS, cause_family={"duties": ["any"], "cause": {"a": {}}})
    found = view(job(), broken)
    assert "cause.a.label" in found.problem
    assert open_causes(job(), broken) == ()


def test_it_works_without_a_sheet_and_without_a_finding() -> None:
    found = view(State(), WITH)
    assert found.answered == 0
    assert found.causes[0].chance == pytest.approx(max(c.prior for c in found.causes))
    assert "No duty was given" in found.duty_note


@pytest.mark.parametrize(
    ("said", "duty"),
    [("oyster boat, in winter", "oyster boat"), ("oyster", "oyster boat"), ("Pump drive", "pump drive"),
     ("boat", "")],
)  # fmt: skip
def test_a_duty_that_several_share_is_told_and_never_guessed(said: str, duty: str) -> None:
    found = shown(duty=said)
    assert (found.duty == duty and not found.duty_note) if duty else "'boat'" in found.duty_note


def test_chances_are_those_of_an_independent_inference_library() -> None:
    found = shown(*LINE)
    oracle = _posterior(
        {"line-behind-propeller-seen": 1, "seal-lip-cut": 1, "oil-milky": 1, "anode-gone": 0}
    )
    for cause in found.causes:
        assert cause.chance == pytest.approx(oracle[cause.key], abs=1e-9)


def _posterior(evidence: dict[str, int]) -> dict[str, float]:
    """The same network in pyagrum, noisy-OR tables written out one line at a time."""
    net = pyagrum.BayesNet("causes")
    for key in FAMILY["cause"]:
        net.add(pyagrum.LabelizedVariable(key, key, 2))
    for table in ("mechanism", "finding"):
        for key in FAMILY[table]:
            if table == "mechanism" or key in evidence:
                net.addNoisyORNet(
                    pyagrum.LabelizedVariable(key, key, 2), FAMILY[table][key]["leak"]
                )
    for table in ("mechanism", "finding"):
        for key, entry in FAMILY[table].items():
            if table == "mechanism" or key in evidence:
                for parent, (strength, _) in entry["links"].items():
                    net.addWeightedArc(parent, key, strength)
    for key, entry in FAMILY["cause"].items():
        prior = entry["prior"]["oyster boat"]
        net.cpt(key).fillWith([1 - prior, prior])
    engine = pyagrum.LazyPropagation(net)
    engine.setEvidence(evidence)
    engine.makeInference()
    return {key: engine.posterior(key)[1] for key in FAMILY["cause"]}


def test_the_likely_story_is_told_in_words_with_its_remedy_open() -> None:
    found = shown(*LINE)
    assert found.stories[0].roots == ("Line or net wound in behind the propeller",)
    assert [cause.key for cause in found.open] == ["line-behind-propeller"]
    text = words(*LINE)
    assert "Most likely" in text
    assert "line or net wound in behind the propeller" in text
    assert "Speaks for it" in text


def test_a_remedy_done_or_overruled_closes_its_cause() -> None:
    for outcome in ("done", "overruled"):
        settled = kinds.RemedySettled(
            cause="line-behind-propeller",
            outcome=outcome,
            reason="line cut out",  # type: ignore[arg-type]
        )
        state = job(*LINE, settled, duty="oyster boat")
        assert view(state, WITH).open == ()
        assert open_causes(state, WITH) == ()
        assert outcome in str(as_plain(say(view(state, WITH), Style())))


def test_open_causes_are_those_above_the_threshold() -> None:
    state = job(*LINE, duty="oyster boat")
    (found,) = open_causes(state, WITH)
    assert found.key == "line-behind-propeller"
    assert found.chance > 0.9
    many = open_causes(state, replace(WITH, cause_threshold=0.05))
    assert len(many) > 1
    assert all(one.chance >= 0.05 for one in many)


def test_the_next_check_is_the_one_with_most_bits_a_minute_that_can_still_be_done() -> None:
    found = shown(*LINE)
    assert found.next_check is not None
    best = max(found.checks, key=lambda check: check.bits_per_minute)
    assert found.next_check.finding == best.finding
    asked = {line.key for line in found.findings if line.answer}
    assert not asked & {check.finding for check in found.checks}


def test_once_the_leg_is_apart_the_leak_test_as_received_is_not_asked_for() -> None:
    apart = shown(*LINE, kinds.StepDone(step="lower-off-upper"))
    assert "leak-test-fails-propeller-end" not in {check.finding for check in apart.checks}
    assert "leak-test-fails-propeller-end" in {check.finding for check in shown(*LINE).checks}


def test_cant_tell_is_an_answer_that_is_not_asked_again() -> None:
    key = shown(*LINE).next_check
    assert key is not None
    after = shown(*LINE, kinds.Found(key=key.finding, answer="unknown"))
    assert after.next_check is not None
    assert after.next_check.finding != key.finding
    assert after.causes[0].chance == pytest.approx(shown(*LINE).causes[0].chance)


def test_findings_arrive_from_readings_with_where_they_are_from() -> None:
    groove = kinds.Reading(target="prop-shaft-groove", values=("0.20 mm",))
    found = shown(groove)
    line = next(one for one in found.findings if one.key == "seal-groove-bright")
    assert line.answer == "yes"
    assert line.evidence is not None
    assert not line.evidence.by_person
    assert "from the reading of propeller shaft" in words(groove)


def test_a_person_against_a_reading_is_said_plainly() -> None:
    bodies = (
        kinds.Reading(target="prop-shaft-groove", values=("0.20 mm",)),
        kinds.Found(key="seal-groove-bright", answer="no"),
    )
    assert "The person's word counts" in words(*bodies)


def test_findings_that_no_cause_allows_together_are_named_and_the_rest_is_used() -> None:
    family = {
        "title": "t", "duties": ["any"],
        "cause": {
            "a": {"label": "cause a", "prior": 0.4, "remedy": "mend a"},
            "b": {"label": "cause b", "prior": 0.2, "remedy": "mend b"},
        },
        "finding": {
            "sure-a": {"label": "sure of a", "minutes": 1, "leak": 0.0, "links": {"a": [1.0, "x"]}},
            "all-a": {"label": "all of a", "minutes": 1, "leak": 0.0, "links": {"a": [1.0, "x"]}},
            "of-b": {"label": "b's", "minutes": 1, "leak": 0.1, "links": {"b": [0.9, "x"]}},
        },
    }  # fmt: skip
    bodies = (
        kinds.Found(key="sure-a"), kinds.Found(key="all-a", answer="no"), kinds.Found(key="of-b"),
    )  # fmt: skip
    found = shown(*bodies, settings=replace(SETTINGS, cause_family=family))
    assert len(found.set_aside) == 1
    # By hand: P(b | of-b) = 0.2·0.91 / (0.2·0.91 + 0.8·0.1)
    by_hand = 0.2 * 0.91 / (0.2 * 0.91 + 0.8 * 0.1)
    b = next(cause for cause in found.causes if cause.key == "b")
    assert b.chance == pytest.approx(by_hand)
    text = str(as_plain(say(found, Style())))
    assert "No cause allows all findings together" in text


def test_findings_that_the_file_does_not_know_are_kept_and_said() -> None:
    assert "kept and not used: smells-of-fish" in words(kinds.Found(key="smells-of-fish"))


def test_an_unknown_duty_is_said_and_one_is_taken() -> None:
    found = shown(duty="submarine")
    assert found.duty == FAMILY["duties"][0]
    assert "no duty 'submarine'" in found.duty_note


def test_every_form_makes_an_entry_that_the_job_takes() -> None:
    state = job(*LINE, duty="oyster boat")
    found = list(asks_of(say(view(state, WITH), Style())))
    assert {ask.kind for ask in found} == {"finding", "remedy"}
    assert len(found) >= len(FAMILY["finding"])
    for ask in found:
        check_entry(state, filled(ask))


def test_after_the_signature_nothing_is_asked_for() -> None:
    assert document(*LINE).card is not None
    assert document(*LINE, kinds.SignedOff(signed_by="AB")).card is None
