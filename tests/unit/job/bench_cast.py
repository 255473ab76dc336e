"""What the tests of slips at the bench have in common: readings, one verdict, a refusal."""

from __future__ import annotations

from typing import Any

import pytest

from casewright.errors import FormErrors
from casewright.job.entry import Entry
from casewright.job.feature_verdicts import FeatureVerdict, feature_verdicts
from casewright.job.rules import check_entry
from casewright.job.state import State
from tests.phases.cast import MOMENT, job, kinds


def read(target: str, *values: str, **more: object) -> kinds.Reading:
    """A reading in millimetres."""
    texts = tuple(f"{value} mm" for value in values)
    return kinds.Reading(target=target, values=texts, **more)  # type: ignore[arg-type]


def only(*bodies: Any) -> FeatureVerdict:
    """The one judged feature of a job."""
    (found,) = feature_verdicts(job(*bodies))
    return found


def entry(kind: str, **body: Any) -> Entry:
    return Entry("some-entry-1", kind, body, "AB", MOMENT)


def refused(state: State, made: Entry) -> dict[str, str]:
    with pytest.raises(FormErrors) as caught:
        check_entry(state, made)
    return dict(caught.value.by_field())


OUTSIDE = read("carrier-outside", "97.975", "97.976", "97.975")
