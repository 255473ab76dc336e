"""Cause network: exact posterior and full ranking of next checks, 16 causes x 60 findings.

Ours: `next_checks` on a model that was prepared beforehand: posterior of every cause, and for
every finding not answered the information about every cause, in one pass of clique messages.

Reference: pyagrum on the same network (noisy-OR in the net convention, built beforehand),
LazyPropagation with nothing asked for beyond what is read. It is given the leaner of two ways,
both measured: (a) each unanswered finding set to yes in turn, the 16 causes read (what a "no"
would give follows from the total); (b) each cause set to yes in turn, all unanswered findings
read. Entropies are computed from its figures in numpy. Largest differences of the posteriors
and of the bits are printed: both are exact.

Networks are drawn at random: 16 causes, 12 mechanisms (a third of them follow from others too),
60 findings with one to three parents, 12 of them answered. Besides, the supplied family file.
"""

from __future__ import annotations

import time
import tomllib
from collections.abc import Callable, Mapping
from importlib.resources import files
from typing import Any

import numpy as np

from casewright.reasoning.cause_checks import binary_entropy, next_checks
from casewright.reasoning.cause_model import CauseModel, infer, prepare
from casewright.reasoning.cause_network import network_from_mapping
from casewright.reasoning.causes import diagnose

Answers = dict[str, bool]


def random_network(seed: int) -> tuple[dict[str, Any], Answers]:
    """A layered network as a mapping, and answers to 12 of its 60 findings."""
    random = np.random.default_rng(seed)
    roots, inner = [f"cause-{i}" for i in range(16)], [f"mechanism-{i}" for i in range(12)]
    causes = {k: {"label": k, "remedy": "mend", "prior": random.uniform(0.01, 0.2)} for k in roots}
    mechanisms = {}
    for place, key in enumerate(inner):
        parents = list(random.choice(roots, random.integers(2, 5), replace=False))
        if place >= 8:
            parents += list(random.choice(inner[:8], random.integers(1, 3), replace=False))
        links = {p: [float(random.uniform(0.3, 0.9)), "drawn"] for p in parents}
        mechanisms[key] = {"label": key, "leak": 0.02, "links": links}
    shares = [0.35 / 16] * 16 + [0.65 / 12] * 12
    findings = {}
    for place in range(60):
        chosen = random.choice(roots + inner, random.integers(1, 4), replace=False, p=shares)
        links = {p: [float(random.uniform(0.3, 0.95)), "drawn"] for p in chosen}
        minutes = float(random.integers(1, 30))
        entry = {"label": f"finding {place}", "leak": 0.03, "minutes": minutes, "links": links}
        findings[f"finding-{place}"] = entry
    network = {"duties": ["any"], "cause": causes, "mechanism": mechanisms, "finding": findings}
    looked = random.choice(list(findings), 12, replace=False)
    return network, {key: bool(random.random() < 0.4) for key in looked}


def reference_network(mapping: Mapping[str, Any], duty: str) -> Any:
    """The same network in pyagrum."""
    import pyagrum

    net = pyagrum.BayesNet()
    for key, entry in mapping["cause"].items():
        prior = entry["prior"][duty] if isinstance(entry["prior"], dict) else entry["prior"]
        net.add(pyagrum.LabelizedVariable(key, key, 2))
        net.cpt(key).fillWith([1 - prior, prior])
    children = {**mapping["mechanism"], **mapping["finding"]}
    for key, entry in children.items():
        net.addNoisyORNet(pyagrum.LabelizedVariable(key, key, 2), entry["leak"])
    for key, entry in children.items():
        for parent, (strength, _) in entry["links"].items():
            net.addWeightedArc(parent, key, strength)
    return net


def by_finding(net: Any, roots: list[str], waiting: list[str], answers: Answers) -> Any:
    """P(cause), P(finding), P(cause | finding yes): one inference for each unanswered finding."""
    import pyagrum

    engine = pyagrum.LazyPropagation(net)
    engine.setTargets({*roots, *waiting})
    engine.setEvidence({key: int(value) for key, value in answers.items()})
    engine.makeInference()
    now = np.array([engine.posterior(key)[1] for key in roots])
    present = np.array([engine.posterior(key)[1] for key in waiting])
    engine = pyagrum.LazyPropagation(net)
    engine.setTargets(set(roots))
    engine.setEvidence({key: int(value) for key, value in answers.items()})
    given = []
    for key in waiting:
        engine.addEvidence(key, 1)
        engine.makeInference()
        given.append([engine.posterior(root)[1] for root in roots])
        engine.eraseEvidence(key)
    return now, present, np.array(given) * present[:, None]


def by_cause(net: Any, roots: list[str], waiting: list[str], answers: Answers) -> Any:
    """The same figures with one inference for each cause."""
    import pyagrum

    engine = pyagrum.LazyPropagation(net)
    engine.setTargets({*roots, *waiting})
    engine.setEvidence({key: int(value) for key, value in answers.items()})
    engine.makeInference()
    now = np.array([engine.posterior(key)[1] for key in roots])
    present = np.array([engine.posterior(key)[1] for key in waiting])
    engine = pyagrum.LazyPropagation(net)
    engine.setTargets(set(waiting))
    engine.setEvidence({key: int(value) for key, value in answers.items()})
    joint = []
    for root, chance in zip(roots, now, strict=True):
        engine.addEvidence(root, 1)
        engine.makeInference()
        joint.append([engine.posterior(key)[1] * chance for key in waiting])
        engine.eraseEvidence(root)
    return now, present, np.array(joint).T


def bits_of(now: Any, present: Any, joint: Any) -> Any:
    """Information of each finding about each cause, added up over the causes."""
    yes, no = present[:, None], 1 - present[:, None]
    after = yes * binary_entropy(joint / yes) + no * binary_entropy((now - joint) / no)
    return (binary_entropy(now) - after).sum(axis=1)


def seconds_of(work: Callable[[], Any], repeats: int) -> tuple[float, Any]:
    """Least time of some repeats, and what the work returned."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        result = work()
        times.append(time.perf_counter() - start)
    return min(times), result


def compare(
    name: str, mapping: Mapping[str, Any], duty: str, answers: Answers, repeats: int
) -> tuple[float, float, float]:
    """Our seconds, the reference's seconds, and the largest difference of bits."""
    model: CauseModel = prepare(network_from_mapping(mapping), duty)
    net = reference_network(mapping, duty)
    roots = list(model.roots)
    waiting = [key for key in model.findings if key not in answers]
    ours, checks = seconds_of(lambda: next_checks(model, answers), repeats)
    first, _ = seconds_of(lambda: by_finding(net, roots, waiting, answers), repeats)
    second, figures = seconds_of(lambda: by_cause(net, roots, waiting, answers), repeats)
    bits = dict(zip(waiting, bits_of(*figures), strict=True))
    apart = max(abs(bits[check.finding] - check.bits) for check in checks)
    apart_now = abs(infer(model, answers).now[: len(roots)] - figures[0]).max()
    print(
        f"{name:14s} {1e3 * ours:9.1f} ms {1e3 * first:10.1f} ms {1e3 * second:10.1f} ms "
        f"{min(first, second) / ours:8.1f} {apart_now:10.1e} {apart:10.1e}"
    )
    return ours, min(first, second), max(float(apart), float(apart_now))


def family() -> tuple[dict[str, Any], Answers]:
    """The supplied family file with ten answers of an ordinary job (an invented one)."""
    text = files("casewright.tables").joinpath("data/causes-drive-leg.toml").read_text("utf-8")
    answers = dict.fromkeys(
        ("oil-milky", "line-behind-propeller-seen", "seal-groove-bright", "metal-on-magnet"), True
    )
    absent = ("shaft-run-out-high", "ring-nut-found-loose", "skeg-damaged", "white-bloom")
    return tomllib.loads(text), {**answers, **dict.fromkeys(absent, False)}


def run(quick: bool) -> dict[str, float]:
    """Print a row for each network and return the figures of the random ones together."""
    print(
        f"{'network':14s} {'ours':>12s} {'by finding':>13s} {'by cause':>13s} {'ratio':>8s}"
        f" {'posterior':>10s} {'bits':>10s}"
    )
    repeats = 2 if quick else 4
    rows = []
    for seed in range(4 if quick else 12):
        mapping, answers = random_network(seed)
        rows.append(compare(f"random {seed}", mapping, "any", answers, repeats))
    mapping, answers = family()
    own, reference, _ = compare("family file", mapping, "oyster boat", answers, repeats)
    model = prepare(network_from_mapping(mapping), "oyster boat")
    whole, _ = seconds_of(lambda: diagnose(model, answers), repeats)
    print(f"causes, mechanisms and three stories of the family file: {1e3 * whole:.1f} ms")
    ours, theirs = sum(row[0] for row in rows), sum(row[1] for row in rows)
    ratios = [row[1] / row[0] for row in rows]
    return {
        "speed_ratio": theirs / ours,
        "speed_ratio_least": min(ratios),
        "speed_ratio_family": reference / own,
        "seconds": ours / len(rows),
        "largest_difference": max(row[2] for row in rows),
    }
