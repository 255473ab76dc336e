"""Two questions to a network straight from its mapping, answers as plain dictionaries by key."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from casewright.reasoning.cause_checks import foresee, target_bits
from casewright.reasoning.cause_model import CauseModel, answers_of, infer, prepare
from casewright.reasoning.cause_network import network_from_mapping


def model_of(network: Mapping[str, Any], duty: str) -> CauseModel:
    """The model of a parsed data file.

    Args:
        network: the mapping that `network_from_mapping` reads [-].
        duty: kind of duty [-].
    Returns:
        the model [-].
    Valid: as `network_from_mapping`.
    Raises: FormErrors with every mistake of the file.
    Source: own.
    """
    return prepare(network_from_mapping(network), duty)


def chances_by_key(
    network: Mapping[str, Any], duty: str, findings: Mapping[str, bool | str | None]
) -> dict[str, float]:
    """Chance of every root, every mechanism and every finding not answered.

    Args:
        network: the mapping that `network_from_mapping` reads [-].
        duty: kind of duty [-].
        findings: finding key → yes, no or unknown [-].
    Returns:
        key → chance [-].
    Valid: findings that can hold together.
    Raises: FormErrors for the file, InputError for the findings.
    Source: LAURITZEN1988 (clique tree).
    """
    model = model_of(network, duty)
    answers = answers_of(model, findings)
    keys = (*model.roots, *(item.key for item in model.network.mechanisms))
    now = infer(model, answers).now
    forecast = foresee(model, findings)
    known = dict(zip(keys, now.tolist(), strict=True))
    return known | dict(zip(forecast.findings, forecast.present.tolist(), strict=True))


def bits_by_key(
    network: Mapping[str, Any], duty: str, findings: Mapping[str, bool | str | None], target: str
) -> dict[str, float]:
    """Information of every finding not answered about one root or mechanism.

    Args:
        network: the mapping that `network_from_mapping` reads [-].
        duty: kind of duty [-].
        findings: finding key → yes, no or unknown [-].
        target: root or mechanism asked about [-].
    Returns:
        finding key → information [bit].
    Valid: as `foresee`.
    Raises: FormErrors for the file, InputError for findings or target.
    Source: LINDLEY1956 (information of an experiment).
    """
    forecast = foresee(model_of(network, duty), findings, [target])
    bits = target_bits(forecast)[:, 0]
    return dict(zip(forecast.findings, bits.tolist(), strict=True))
