"""Small and random cause networks for the tests, and the same networks in other hands."""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np


def random_mapping(
    seed: int, roots: int = 5, mechanisms: int = 4, findings: int = 8
) -> dict[str, Any]:
    """A layered noisy-OR network; some mechanisms follow from earlier ones."""
    random = np.random.default_rng(seed)
    top = [f"r{i}" for i in range(roots)]
    inner = [f"m{i}" for i in range(mechanisms)]
    low = [f"f{i}" for i in range(findings)]

    def links(parents: list[str], most: int) -> dict[str, list[Any]]:
        count = int(random.integers(1, min(most, len(parents)) + 1))
        chosen = random.choice(parents, count, replace=False)
        return {str(p): [float(random.uniform(0.2, 0.95)), "drawn"] for p in chosen}

    return {
        "title": "drawn",
        "duties": ["any"],
        "cause": {
            k: {
                "label": k,
                "remedy": "mend",
                "prior": float(random.uniform(0.02, 0.5)),
                "remedy_cost": 50.0,
                "comeback_cost": 400.0,
            }
            for k in top
        },
        "mechanism": {
            k: {"label": k, "leak": 0.03, "links": links(top + inner[: max(i - 1, 0)], 4)}
            for i, k in enumerate(inner)
        },
        "finding": {
            k: {"label": k, "leak": 0.05, "minutes": i + 1.0, "links": links(top + inner, 3)}
            for i, k in enumerate(low)
        },
    }


def on_chance(entry: dict[str, Any], state: dict[str, int]) -> float:
    """P(child present | parents) of one mapping entry, written out independently."""
    if "table" in entry:
        place = 0
        for parent in entry["links"]:
            place = 2 * place + state[parent]
        return float(entry["table"][place])
    off = 1 - entry["leak"]
    for parent, (strength, _) in entry["links"].items():
        off *= 1 - strength * state[parent]
    return 1 - off


def brute(mapping: dict[str, Any], answers: dict[str, bool]) -> list[tuple[dict[str, int], float]]:
    """Every state of roots and mechanisms with its joint chance with the answers."""
    roots, inner = list(mapping["cause"]), list(mapping["mechanism"])
    rows = []
    for bits in product((0, 1), repeat=len(roots) + len(inner)):
        state = dict(zip([*roots, *inner], bits, strict=True))
        weight = 1.0
        for key in roots:
            prior = mapping["cause"][key]["prior"]
            weight *= prior if state[key] else 1 - prior
        for key in inner:
            on = on_chance(mapping["mechanism"][key], state)
            weight *= on if state[key] else 1 - on
        for key, present in answers.items():
            on = on_chance(mapping["finding"][key], state)
            weight *= on if present else 1 - on
        rows.append((state, weight))
    return rows


def in_pyagrum(mapping: dict[str, Any]) -> Any:
    """The same noisy-OR network in pyagrum (net convention)."""
    import pyagrum

    net = pyagrum.BayesNet()
    for key, entry in mapping["cause"].items():
        net.add(pyagrum.LabelizedVariable(key, key, 2))
        net.cpt(key).fillWith([1 - entry["prior"], entry["prior"]])
    children = {**mapping["mechanism"], **mapping["finding"]}
    for key, entry in children.items():
        net.addNoisyORNet(pyagrum.LabelizedVariable(key, key, 2), entry["leak"])
    for key, entry in children.items():
        for parent, (strength, _) in entry["links"].items():
            net.addWeightedArc(parent, key, strength)
    return net
