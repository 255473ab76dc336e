"""Take-in asks for what can't be seen any more once the leg is apart, and stops asking then."""

from __future__ import annotations

from casewright.job import kinds
from casewright.voice.document import Fold
from casewright.voice.rooms import document
from tests.phases.cast import job
from tests.phases.test_cause import WITH

SAID = kinds.Complaint(words="hums ahead")


def test_the_owner_is_asked_first_and_then_one_thing_at_a_time() -> None:
    asked = document("takein", job(), WITH).card
    assert asked is not None and asked.title == "What does the owner say?"
    then = document("takein", job(SAID), WITH).card
    assert then is not None and then.title.endswith("?") and then.title != asked.title


def test_nothing_is_asked_as_received_once_a_joint_is_open() -> None:
    said = document("takein", job(SAID, kinds.StepDone(step="drain-oil")), WITH)
    assert said.card is None
    (looks,) = (one for one in said.sections if one.key == "look")
    folds = [block.title for block in looks.blocks if isinstance(block, Fold)]
    assert len(folds) == 1 and "before the leg was opened" in folds[0]
