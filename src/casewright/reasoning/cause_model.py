"""A cause network made ready for one kind of duty, and the chances that follow from answers.

Variables are numbered: roots first, then mechanisms. Every child (mechanism or finding) is a
table P(absent | parents). A noisy-OR child that is absent splits into one weight per parent,
P(absent) = (1 - leak)·∏ over parents that are on of (1 - strength); only present ones, and
children with a whole table, tie their parents together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from casewright.errors import InputError
from casewright.reasoning.cause_factors import Floats, Table
from casewright.reasoning.cause_network import Finding, Mechanism, Network
from casewright.reasoning.cause_tree import CliqueTree, build_tree, calibrate


@dataclass(frozen=True, slots=True, eq=False)
class Child:
    """P(absent | parents) over `parents`; `passing` is 1 - strength per parent (noisy-OR only)."""

    key: str
    parents: tuple[int, ...]
    absent: Floats
    keep_off: float
    passing: tuple[float, ...] | None

    def table(self, present: bool) -> Table:
        """P(present) or P(absent) as a table with a single column."""
        values = 1 - self.absent if present else self.absent
        return Table(self.parents, values[..., None])

    def family(self, place: int) -> Table:
        """P(child | parents) with the child itself, as variable `place`, on the first axis."""
        return Table((place, *self.parents), np.stack((self.absent, 1 - self.absent))[..., None])


@dataclass(frozen=True, slots=True, eq=False)
class CauseModel:
    """A network made ready for one kind of duty."""

    network: Network
    duty: str
    prior: Floats
    mechanisms: tuple[Child, ...]
    findings: dict[str, Child]

    @property
    def roots(self) -> tuple[str, ...]:
        """Keys of the root causes, in the order of their numbers."""
        return tuple(root.key for root in self.network.roots)

    def number(self, key: str) -> int:
        """Number of a root or mechanism."""
        names = (*self.roots, *(item.key for item in self.network.mechanisms))
        if key not in names:
            raise InputError("cause or mechanism", key, f"one of {', '.join(names)}")
        return names.index(key)


def prepare(network: Network, duty: str) -> CauseModel:
    """Tables of a network for one kind of duty; done once, used for every question.

    Args:
        network: the network [-].
        duty: one of the network's kinds of duty [-].
    Returns:
        the model [-].
    Valid: any network that `network_from_mapping` returned.
    Raises: InputError where the duty is not in the network.
    Source: DIEZ1993 (net convention of the noisy-OR); PEARL1988 section 4.3.2.
    """
    if duty not in network.duties:
        raise InputError("duty", duty, f"one of {', '.join(network.duties)}")
    keys = [root.key for root in network.roots] + [m.key for m in network.mechanisms]
    numbers = {key: place for place, key in enumerate(keys)}
    prior = np.array([root.prior(duty) for root in network.roots])
    mechanisms = tuple(_child(item, numbers) for item in network.mechanisms)
    findings = {item.key: _child(item, numbers) for item in network.findings}
    return CauseModel(network, duty, prior, mechanisms, findings)


def _child(item: Mechanism | Finding, numbers: Mapping[str, int]) -> Child:
    parents = tuple(numbers[link.parent] for link in item.links)
    if item.table:
        absent = 1 - np.array(item.table).reshape((2,) * len(parents))
        return Child(item.key, parents, absent, 1.0, None)
    passing = tuple(1 - link.strength for link in item.links)
    absent = np.array(1 - item.leak)
    for weight in reversed(passing):
        absent = np.stack((absent, absent * weight))
    return Child(item.key, parents, absent, 1 - item.leak, passing)


def answers_of(model: CauseModel, findings: Mapping[str, bool | str | None]) -> dict[str, bool]:
    """Findings that were answered; yes, no, unknown (or true, false, none) are understood.

    Args:
        model: the model [-].
        findings: finding key → answer [-].
    Returns:
        finding key → present, unknown ones left out [-].
    Valid: any order; findings that nobody looked at may be left out.
    Raises: InputError for a key that is not in the network or an answer that is none of these.
    Source: own.
    """
    words = {"yes": True, "no": False, "unknown": None}
    answered = {}
    for key, given in findings.items():
        if key not in model.findings:
            raise InputError(f"finding {key}", given, "a finding of this network")
        answer = words.get(given, given) if isinstance(given, str) else given
        if answer is not None and not isinstance(answer, bool):
            raise InputError(f"finding {key}", given, "yes, no or unknown")
        if answer is not None:
            answered[key] = answer
    return answered


@dataclass(frozen=True, slots=True, eq=False)
class Inferred:
    """P(answers) and P(each variable on, answers): column 0 as answered, then one per check.

    Column k supposes, besides the answers, that check k finds nothing.
    """

    chance: Floats
    on: Floats

    @property
    def now(self) -> Floats:
        """P(variable on | answers) of every root and mechanism."""
        return np.asarray(self.on[:, 0] / self.chance[0])


def infer(
    model: CauseModel,
    answers: Mapping[str, bool],
    checks: Sequence[str] = (),
    tree: CliqueTree | None = None,
) -> Inferred:
    """Chance of the answers, and of every root and mechanism with them.

    Args:
        model: the model [-].
        answers: finding key → present [-].
        checks: findings not answered; each is supposed absent in a column of its own [-].
        tree: a tree that holds all that the answers tie together, where it is at hand [-].
    Returns:
        chances, shapes (1 + checks,) and (roots + mechanisms, 1 + checks) [-].
    Valid: exact.
    Raises: nothing.
    Source: LAURITZEN1988; HECKERMAN1989 (absent noisy-OR findings as weights).
    """
    weights, scale = _weights(model, answers, checks)
    tables = [
        *_families(model),
        *(model.findings[key].table(answers[key]) for key in _tying(model, answers)),
        *(
            _supposed(model.findings[key], column, len(checks) + 1)
            for column, key in enumerate(checks, start=1)
            if model.findings[key].passing is None
        ),
    ]
    tree = tree or tree_for(model, answers, checks)
    singles = [Table((v,), np.stack((np.ones_like(row), row))) for v, row in enumerate(weights)]
    calibrated = calibrate(tree, [*tables, *singles])
    columns = len(checks) + 1
    on = [np.broadcast_to(calibrated.joint((v,))[1], columns) for v in range(len(weights))]
    return Inferred(np.broadcast_to(calibrated.chance, columns) * scale, np.array(on) * scale)


def tree_for(
    model: CauseModel, answers: Mapping[str, bool], checks: Sequence[str] = ()
) -> CliqueTree:
    """The clique tree for some answers; it serves for any part of them too.

    Args:
        model: the model [-].
        answers: finding key → present [-].
        checks: findings that columns will suppose absent [-].
    Returns:
        the tree [-].
    Valid: any answers.
    Raises: nothing.
    Source: LAURITZEN1988 (clique tree).
    """
    count = model.prior.size
    groups = [(count + place, *child.parents) for place, child in enumerate(model.mechanisms)]
    groups += [model.findings[key].parents for key in _tying(model, answers)]
    groups += [
        child.parents for child in (model.findings[k] for k in checks) if child.passing is None
    ]
    return build_tree(groups, count + len(model.mechanisms))


def _tying(model: CauseModel, answers: Mapping[str, bool]) -> list[str]:
    """Answers that tie their parents together."""
    return [key for key in answers if answers[key] or model.findings[key].passing is None]


def _families(model: CauseModel) -> list[Table]:
    count = model.prior.size
    priors = [Table((i,), np.array([[1 - p], [p]])) for i, p in enumerate(model.prior)]
    return priors + [child.family(count + k) for k, child in enumerate(model.mechanisms)]


def _weights(
    model: CauseModel, answers: Mapping[str, bool], checks: Sequence[str]
) -> tuple[Floats, Floats]:
    """What absent noisy-OR findings leave: a weight per variable and column, a scale per column."""
    weights = np.ones((model.prior.size + len(model.mechanisms), len(checks) + 1))
    scale = np.ones(len(checks) + 1)
    absent = [(key, slice(None)) for key in answers if key not in _tying(model, answers)]
    for key, columns in absent + [(key, slice(c, c + 1)) for c, key in enumerate(checks, 1)]:
        child = model.findings[key]
        if child.passing is not None:
            scale[columns] *= child.keep_off
            weights[list(child.parents), columns] *= np.array(child.passing)[:, None]
    return weights, scale


def _supposed(child: Child, column: int, columns: int) -> Table:
    """A check with a whole table, absent in its own column and not looked at in the others."""
    values = np.ones((*child.absent.shape, columns))
    values[..., column] = child.absent
    return Table(child.parents, values)
