"""Cause network: exact against brute force and against an independent library."""

from __future__ import annotations

import math
import tomllib
from importlib.resources import files
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from casewright.errors import FormErrors, InputError, RangeError
from casewright.reasoning.cause_checks import (
    binary_entropy,
    foresee,
    information_value,
    next_checks,
    target_bits,
)
from casewright.reasoning.cause_evidence import weigh
from casewright.reasoning.cause_inference import root_set_weights
from casewright.reasoning.cause_leave_out import leave_each_out, surprises
from casewright.reasoning.cause_model import answers_of, infer
from casewright.reasoning.cause_network import network_from_mapping
from casewright.reasoning.cause_query import model_of
from casewright.reasoning.causes import contradictory, diagnose, open_causes
from tests.unit.reasoning import networks


def answers_for(mapping: dict[str, Any], seed: int, count: int) -> dict[str, bool]:
    random = np.random.default_rng(seed + 1000)
    keys = random.choice(list(mapping["finding"]), count, replace=False)
    return {str(key): bool(random.random() < 0.6) for key in keys}


def family() -> dict[str, Any]:
    text = files("casewright.tables").joinpath("data/causes-drive-leg.toml").read_text("utf-8")
    return tomllib.loads(text)


@given(st.integers(0, 10_000), st.integers(0, 6))
@settings(max_examples=30, deadline=None)
def test_chances_equal_brute_force(seed: int, count: int) -> None:
    mapping = networks.random_mapping(seed)
    answers = answers_for(mapping, seed, count)
    model = model_of(mapping, "any")
    rows = networks.brute(mapping, answers)
    total = sum(weight for _, weight in rows)
    inferred = infer(model, answers)
    assert inferred.chance[0] == pytest.approx(total, rel=1e-10)
    keys = [*mapping["cause"], *(item.key for item in model.network.mechanisms)]
    for key, chance in zip(keys, inferred.now, strict=True):
        wanted = sum(weight for state, weight in rows if state[key]) / total
        assert chance == pytest.approx(wanted, abs=1e-12)


@given(st.integers(0, 10_000), st.integers(0, 6))
@settings(max_examples=30, deadline=None)
def test_enumeration_of_root_sets_agrees_with_the_clique_tree(seed: int, count: int) -> None:
    mapping = networks.random_mapping(seed, roots=7, mechanisms=6, findings=10)
    answers = answers_for(mapping, seed, count)
    model = model_of(mapping, "any")
    weights, inferred = root_set_weights(model, answers), infer(model, answers)
    assert weights.sum() == pytest.approx(inferred.chance[0], rel=1e-10)
    sets = np.arange(weights.size)
    for root in range(7):
        chance = weights[sets >> root & 1 == 1].sum() / weights.sum()
        assert chance == pytest.approx(inferred.now[root], abs=1e-12)


@pytest.mark.parametrize("seed", range(4))
def test_sixteen_causes_and_sixty_findings_agree_with_an_independent_library(seed: int) -> None:
    import pyagrum

    mapping = networks.random_mapping(seed, roots=16, mechanisms=12, findings=60)
    answers = answers_for(mapping, seed, 10)
    model = model_of(mapping, "any")
    engine = pyagrum.LazyPropagation(networks.in_pyagrum(mapping))
    engine.setEvidence({key: int(value) for key, value in answers.items()})
    engine.makeInference()
    forecast = foresee(model, answers)
    now = [engine.posterior(key)[1] for key in model.roots]
    assert forecast.targets == pytest.approx(now, abs=1e-10)
    present = [engine.posterior(key)[1] for key in forecast.findings]
    assert forecast.present == pytest.approx(present, abs=1e-10)
    bits = target_bits(forecast)
    for row in (0, 17, 40):
        after = 0.0
        for value, share in ((1, present[row]), (0, 1 - present[row])):
            engine.addEvidence(forecast.findings[row], value)
            engine.makeInference()
            chances = np.array([engine.posterior(key)[1] for key in model.roots])
            after += share * binary_entropy(chances)
            engine.eraseEvidence(forecast.findings[row])
        wanted = binary_entropy(np.array(now)) - after
        assert bits[row] == pytest.approx(wanted, abs=1e-9)


@given(st.integers(0, 10_000))
@settings(max_examples=20, deadline=None)
def test_best_story_is_the_most_probable_root_set_with_its_mechanisms(seed: int) -> None:
    mapping = networks.random_mapping(seed)
    answers = answers_for(mapping, seed, 4)
    found = diagnose(model_of(mapping, "any"), answers, stories=40)
    rows = networks.brute(mapping, answers)
    total = sum(weight for _, weight in rows)
    seen = {root for story in found.stories for root in story.roots}
    for story in found.stories[:3]:
        wanted = sum(w for s, w in rows if all(s[k] == (k in story.roots) for k in seen)) / total
        assert story.chance == pytest.approx(wanted, abs=1e-12)
    assert sum(story.chance for story in found.stories) == pytest.approx(1, abs=1e-9)
    chances = [story.chance for story in found.stories]
    assert chances == sorted(chances, reverse=True)


def test_mechanisms_of_a_story_are_its_likeliest_joint_state() -> None:
    mapping = networks.random_mapping(3, findings=10)
    answers = dict.fromkeys(mapping["finding"], True)
    story = diagnose(model_of(mapping, "any"), answers).stories[0]
    rows = [
        (state, weight)
        for state, weight in networks.brute(mapping, answers)
        if all(state[key] == (key in story.roots) for key in mapping["cause"])
    ]
    best, weight = max(rows, key=lambda row: row[1])
    likeliest = {key for key in mapping["mechanism"] if best[key]}
    assert set(story.mechanisms) <= likeliest
    assert story.given_roots >= weight / sum(w for _, w in rows) - 1e-12


@given(st.integers(0, 10_000), st.integers(0, 5))
@settings(max_examples=25, deadline=None)
def test_information_is_between_zero_and_the_findings_entropy(seed: int, count: int) -> None:
    mapping = networks.random_mapping(seed)
    model = model_of(mapping, "any")
    forecast = foresee(model, answers_for(mapping, seed, count))
    bits = target_bits(forecast)
    assert np.all(bits >= 0)
    assert np.all(bits <= binary_entropy(forecast.present)[:, None] + 1e-12)
    assert np.all(bits <= binary_entropy(forecast.targets) + 1e-12)


def test_order_of_the_answers_does_not_matter() -> None:
    model = model_of(networks.random_mapping(5), "any")
    answers = {"f0": True, "f3": False, "f6": True}
    backwards = dict(reversed(answers.items()))
    one, other = diagnose(model, answers), diagnose(model, backwards)
    for key in model.roots:
        assert one.chance_of(key) == pytest.approx(other.chance_of(key), abs=1e-14)


def test_unknown_is_the_same_as_not_asked() -> None:
    model = model_of(networks.random_mapping(6), "any")
    with_unknown = diagnose(model, {"f1": "yes", "f2": "unknown", "f3": None})
    without = diagnose(model, {"f1": True})
    assert with_unknown.causes == without.causes
    assert {check.finding for check in next_checks(model, {"f1": "yes", "f2": "unknown"})} == {
        f"f{i}" for i in range(8) if i != 1
    }


def test_no_answers_leave_the_priors() -> None:
    model = model_of(networks.random_mapping(7), "any")
    for cause in diagnose(model, {}).causes:
        assert cause.chance == pytest.approx(cause.prior, abs=1e-14)


def strict_mapping() -> dict[str, Any]:
    """One cause that alone and always shows `sign`; `never` follows from nothing that can be."""
    return {
        "duties": ["any"],
        "cause": {
            "c": {"label": "c", "remedy": "mend", "prior": 0.2},
            "d": {"label": "d", "remedy": "mend", "prior": 0.3},
        },
        "mechanism": {},
        "finding": {
            "sign": {"label": "sign", "leak": 0.0, "minutes": 1, "links": {"c": [1.0, "always"]}},
            "twin": {"label": "twin", "leak": 0.0, "minutes": 1, "links": {"c": [1.0, "always"]}},
            "third": {"label": "third", "leak": 0.0, "minutes": 1, "links": {"c": [1.0, "always"]}},
            "other": {"label": "other", "leak": 0.1, "minutes": 2, "links": {"d": [0.6, "often"]}},
        },
    }


def test_contradictory_findings_are_named_set_aside_and_the_rest_is_used() -> None:
    model = model_of(strict_mapping(), "any")
    answers = {"sign": True, "twin": False, "third": True, "other": True}
    found = diagnose(model, answers)
    assert found.set_aside == ("twin",)
    assert found.findings_chance == 0
    assert found.chance_of("c") == pytest.approx(1)
    assert found.chance_of("d") == pytest.approx(0.3 * 0.64 / (0.3 * 0.64 + 0.7 * 0.1))
    assert next_checks(model, answers) == ()
    assert "twin" not in leave_each_out(model, answers).answers


def test_of_two_findings_that_exclude_each_other_the_likelier_rest_is_kept() -> None:
    model = model_of(strict_mapping(), "any")
    assert contradictory(model, {"sign": True, "twin": False}) == ("sign",)


def test_weight_of_evidence_is_the_likelihood_ratio_for_one_finding() -> None:
    model = model_of(strict_mapping(), "any")
    weight = weigh(model, leave_each_out(model, {"other": "yes"}), "d").speaks_for[0]
    assert weight.bits == pytest.approx(math.log2((1 - 0.9 * 0.4) / 0.1), abs=1e-12)
    against = weigh(model, leave_each_out(model, {"other": "no"}), "d").speaks_against[0]
    assert against.bits == pytest.approx(math.log2(0.4), abs=1e-12)


def test_certainty_is_an_infinite_weight_not_a_crash() -> None:
    model = model_of(strict_mapping(), "any")
    assert weigh(model, leave_each_out(model, {"sign": True}), "c").speaks_for[0].bits == math.inf


def test_a_finding_that_sits_badly_with_the_rest_is_named() -> None:
    model = model_of(family(), "pleasure boat")
    answers = {
        "seal-groove-bright": True,
        "seal-lip-cut": True,
        "oil-milky": True,
        "salt-in-oil": True,
        "water-first-from-drain": True,
        "leak-test-fails-propeller-end": False,
    }
    named = surprises(model, leave_each_out(model, answers), below=0.1)
    assert named
    assert named[0].finding == "leak-test-fails-propeller-end"


def test_saving_equals_the_value_of_sample_information() -> None:
    mapping = strict_mapping()
    mapping["cause"]["d"] |= {"remedy_cost": 40.0, "comeback_cost": 100.0}
    check = next(c for c in next_checks(model_of(mapping, "any"), {}, 0.5) if c.finding == "other")
    value = information_value([0.3, 0.7], [[40.0, 40.0], [100.0, 0.0]], [[0.64, 0.36], [0.1, 0.9]])
    assert check.saving == pytest.approx(value.sample_value - 0.5 * 2)
    assert value.sample_value <= value.perfect_value


def test_open_causes_stand_above_the_threshold() -> None:
    found = diagnose(model_of(strict_mapping(), "any"), {"other": True})
    assert [cause.key for cause in open_causes(found, 0.3)] == ["d"]
    with pytest.raises(RangeError, match="threshold"):
        open_causes(found, 0)


def test_an_unknown_finding_or_answer_is_refused_by_name() -> None:
    model = model_of(strict_mapping(), "any")
    with pytest.raises(InputError, match="finding nose"):
        answers_of(model, {"nose": True})
    with pytest.raises(InputError, match="yes, no or unknown"):
        answers_of(model, {"sign": "perhaps"})
    with pytest.raises(InputError, match="duty"):
        model_of(strict_mapping(), "racing")
    with pytest.raises(InputError, match="cause"):
        weigh(model, leave_each_out(model, {}), "nothing")


def test_every_mistake_of_a_network_is_found_in_one_pass() -> None:
    broken = strict_mapping()
    broken["colour"] = "red"
    broken["cause"]["c"]["prior"] = 1.4
    broken["cause"]["d"] = {"label": "", "remedy": "mend", "prior": {"any": 0.1, "racing": 0.2}}
    broken["finding"]["sign"]["links"] = {"ghost": [0.4, "no such parent"]}
    broken["finding"]["twin"]["links"] = {"c": 0.4}
    broken["finding"]["other"] |= {"minutes": 0, "leak": "some"}
    broken["finding"]["third"]["table"] = [0.1]
    broken["mechanism"] = {
        "m": {"label": "m", "leak": 0.0, "links": {"n": [0.5, "circle"]}},
        "n": {"label": "n", "leak": 0.0, "links": {"m": [0.5, "circle"]}},
    }
    with pytest.raises(FormErrors) as caught:
        network_from_mapping(broken)
    fields = caught.value.by_field()
    assert set(fields) >= {
        "file.colour",
        "cause.c.prior.any",
        "cause.d.label",
        "cause.d.prior.racing",
        "finding.sign.links.ghost",
        "finding.twin.links.c",
        "finding.other.minutes",
        "finding.other.leak",
        "finding.third.table",
        "mechanism",
    }


def test_seventeen_causes_are_too_many() -> None:
    mapping = strict_mapping()
    mapping["cause"] |= {f"c{i}": {"label": "x", "remedy": "x", "prior": 0.1} for i in range(15)}
    with pytest.raises(FormErrors, match="at most 16"):
        network_from_mapping(mapping)


def test_the_supplied_family_is_whole() -> None:
    network = network_from_mapping(family())
    assert len(network.roots) == 16
    assert len(network.mechanisms) >= 12
    assert len(network.findings) >= 45
    assert len(network.duties) == 4
    linked = {
        link.parent for child in (*network.mechanisms, *network.findings) for link in child.links
    }
    assert {root.key for root in network.roots} | {m.key for m in network.mechanisms} <= linked


@pytest.mark.parametrize(
    ("answers", "cause"),
    [
        (("line-behind-propeller-seen", "oil-milky"), "line-behind-propeller"),
        (("blade-bent-or-chipped", "skeg-damaged", "shaft-run-out-high"), "struck-object"),
        (("stood-in-frost", "crack-seen", "water-first-from-drain"), "freezing"),
        (("ring-nut-found-loose", "end-play-high"), "ring-nut-loose"),
        (("anode-painted-seen", "white-bloom", "anode-like-new"), "anode-painted"),
        (("impeller-vanes-missing", "engine-ran-hot"), "dry-pump"),
        (("shifts-hard", "linkage-travel-short"), "shift-adjustment"),
        (("contact-at-end-of-teeth", "lash-out-of-window", "turning-torque-high"), "wrong-shims"),
    ],
)
def test_the_family_tells_plain_cases(answers: tuple[str, ...], cause: str) -> None:
    model = model_of(family(), "pleasure boat")
    found = diagnose(model, dict.fromkeys(answers, "yes"))
    assert found.causes[0].key == cause
    assert found.chance_of(cause) > 0.6


def test_duty_moves_the_answer() -> None:
    chances = [
        diagnose(model_of(family(), duty), {"oil-milky": "yes"}).chance_of("line-behind-propeller")
        for duty in ("oyster boat", "pump drive")
    ]
    assert chances[0] > 5 * chances[1]


def test_strengths_are_net_of_the_leak() -> None:
    """Trap: leak 0.1, strength 0.5 give 0.55 in the net convention, 0.50 in the compound one."""
    mapping = strict_mapping()
    mapping["finding"]["other"] = {
        "label": "other", "leak": 0.1, "minutes": 1, "links": {"c": [0.5, "half of the time"]},
    }  # fmt: skip
    forecast = foresee(model_of(mapping, "any"), {"sign": True})
    present = dict(zip(forecast.findings, forecast.present, strict=True))
    assert present["other"] == pytest.approx(0.55, abs=1e-12)


def test_a_whole_table_equals_the_noisy_or_it_was_made_from() -> None:
    mapping = networks.random_mapping(11)
    tabled = networks.random_mapping(11)
    for entry in (*tabled["mechanism"].values(), *tabled["finding"].values()):
        parents = list(entry["links"])
        states = (
            {p: row >> (len(parents) - 1 - k) & 1 for k, p in enumerate(parents)}
            for row in range(2 ** len(parents))
        )
        entry["table"] = [networks.on_chance(entry, state) for state in states]
    answers = {"f0": True, "f1": False, "f4": True}
    one, other = (diagnose(model_of(m, "any"), answers, 4) for m in (mapping, tabled))
    for first, second in zip(one.stories, other.stories, strict=True):
        assert first.roots == second.roots
        assert first.chance == pytest.approx(second.chance, abs=1e-12)
    first_checks = next_checks(model_of(mapping, "any"), answers)
    second_checks = next_checks(model_of(tabled, "any"), answers)
    for left, right in zip(first_checks, second_checks, strict=True):
        assert left.finding == right.finding
        assert left.bits == pytest.approx(right.bits, abs=1e-10)


def test_checks_are_ranked_by_information_per_minute() -> None:
    checks = next_checks(model_of(family(), "survey launch"), {"oil-milky": "yes"})
    rates = [check.bits_per_minute for check in checks]
    assert rates == sorted(rates, reverse=True)
    assert len(checks) == len(family()["finding"]) - 1
    assert all(check.bits_per_minute == check.bits / check.minutes for check in checks)


def test_every_supplied_link_says_why() -> None:
    network = network_from_mapping(family())
    for child in (*network.mechanisms, *network.findings):
        assert all(len(link.reason) > 3 for link in child.links)
    assert all(0 < root.prior(duty) < 0.5 for root in network.roots for duty in network.duties)
    assert all(root.remedy for root in network.roots)
    assert "nvented" in network.note
