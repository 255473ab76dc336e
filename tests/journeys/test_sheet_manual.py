"""A stranger can write a sheet from the manual page alone: the page names all there is, and is right."""

from __future__ import annotations

import json
import re
from functools import cache

import pytest

from casewright.drive.load import check, json_schema, load
from casewright.drive.schema import DriveSheet
from tests.journeys.bench import ROOT, sheet_text


@cache
def page() -> str:
    return (ROOT / "docs" / "manual" / "sheets.md").read_text("utf-8")


def test_the_worked_fragment_has_no_mistake() -> None:
    fragment = re.search(r"```toml\n(.*?)```", page(), re.DOTALL)
    assert fragment
    _, findings = check(fragment[1])
    assert findings == ()


def test_every_table_and_every_field_stands_on_the_page() -> None:
    schema = json.loads(json_schema())
    named = set(re.findall(r"`([a-z_]+)`", page())) | set(re.findall(r"`\[+([a-z_.]+)\]+`", page()))
    last = {name.rpartition(".")[2] for name in named}
    missing = [table for table in DriveSheet.model_fields if table not in last]
    for definition in schema["$defs"].values():
        missing += [field for field in definition["properties"] if field not in last]
    assert missing == []


def test_every_word_that_may_be_chosen_for_a_part_or_joint_stands_on_the_page() -> None:
    schema = json.loads(json_schema())["$defs"]
    plain = page().replace("\n", " ")
    for table in ("Part", "Joint", "Adjuster", "Response", "Feature", "Circuit"):
        for word in schema[table]["properties"]["kind" if table != "Circuit" else "medium"]["enum"]:
            assert re.search(rf"\b{re.escape(word)}\b", plain), (table, word)


@pytest.mark.parametrize(
    "key", ["skeleton-twin-gear-leg", "skeleton-single-gear-box", "skeleton-leg-under-a-hull"]
)
def test_a_skeleton_holds_no_limit_at_all(key: str) -> None:
    sheet = load(sheet_text(key)).sheet
    assert not [f.key for f in sheet.features if f.low or f.high]
    assert not [r.key for r in sheet.responses if r.windows or r.lever or r.gauge]
    assert not [c.key for c in sheet.circuits if c.tests or c.ceiling or c.volume]
    assert not [j.key for j in sheet.joints if j.fit or (j.fasteners and j.fasteners.torque_steps)]
    assert not [a.key for a in sheet.adjusters if a.sizes or a.effects or a.least or a.most]
    assert not sheet.heat_ceilings
    assert sheet.oil.capacity is None
    assert all(a.sits and (a.thicker_moves or a.thicker_makes) for a in sheet.adjusters)
    assert any(joint.fasteners and joint.fasteners.hidden for joint in sheet.joints)
