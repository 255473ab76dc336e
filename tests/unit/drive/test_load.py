"""A sheet is read strictly, every mistake in one pass with its line; old sheets stay readable."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from casewright.drive.load import check, digest_of, json_schema, load
from casewright.errors import SheetError

SHEETS = Path(__file__).parents[3] / "sheets"

TEN_MISTAKES = """\
[sheet]
sheet_version = 1
key = "bad"
name = "Sheet with ten mistakes"
colour = "blue"

[[parts]]
key = "cup"
name = "cup"
kind = "cupp"

[[parts]]
key = "gear"
name = "gear"
kind = "gear"

[[units]]
key = "lower"
name = "lower"

[[positions]]
key = "p.gear"
name = "gear"
part = "gaer"
unit = "lower"

[[positions]]
key = "p.gear"
name = "again"
part = "gear"
unit = "lower"

[[joints]]
key = "a"
name = "a"
kind = "fasteners"
holds = ["p.gear"]

[[joints]]
key = "b"
name = "b"
kind = "lift-off"
holds = ["p.gear"]

[[blocks]]
joint = "a"
after = ["b"]

[[blocks]]
joint = "b"
after = ["a"]

[[adjusters]]
key = "pack"
name = "pack"
kind = "shim-pack"
position = "p.gear"
moves = "p.gear"
sits = "behind the cup"
thicker_moves = "not at all"
sizes = ["0.10 mm"]

[[features]]
key = "bore"
name = "bore"
position = "p.gear"
kind = "bore"
low = "80.02 mm"
high = "79.98 mm"
source = "p. 1"

[[features]]
key = "journal"
name = "journal"
position = "p.gear"
kind = "diameter"
high = "30 N·m"
source = "p. 1"

[[features]]
key = "land"
name = "land"
position = "p.gear"
kind = "diameter"
high = "30"
source = "p. 1"

[[features]]
key = "no-source"
name = "limit without its page"
position = "p.gear"
kind = "wear"
high = "0.05 mm"
"""


def test_ten_mistakes_are_reported_as_ten_with_lines() -> None:
    _, findings = check(TEN_MISTAKES)
    mistakes = [found for found in findings if found.weight == "mistake"]
    lines = TEN_MISTAKES.splitlines()
    said = {(found.line, found.message.split(";")[0]) for found in mistakes}
    assert len(mistakes) == 10, "\n".join(map(str, findings))
    assert all(found.line > 0 for found in mistakes), said
    assert any("colour" in lines[found.line - 1] for found in mistakes)
    assert any('part = "gaer"' in lines[found.line - 1] for found in mistakes)
    assert any("is 'gear' meant" in f.message or "is gear meant" in f.message for f in mistakes)
    assert [f for f in findings if f.weight == "warning" and "no source" in f.message]


def test_load_refuses_with_every_finding() -> None:
    with pytest.raises(SheetError) as caught:
        load(TEN_MISTAKES, "bad.toml")
    assert len(caught.value.findings) == 10
    assert caught.value.exit_code == 3


@pytest.mark.parametrize("path", sorted(SHEETS.glob("*.toml")), ids=lambda p: p.stem)
def test_shipped_sheets_have_no_mistake_and_no_warning(path: Path) -> None:
    sheet, findings = check(path.read_text("utf-8"))
    serious = [f for f in findings if f.weight == "mistake" or "source" in f.message]
    assert not serious
    assert sheet is not None
    assert sheet.sheet.invented


def test_a_sheet_of_version_zero_is_still_read() -> None:
    old = '[sheet]\nsheet_version = 0\nname = "Old Box"\n[[windows]]\nkey = "lash"\nname = "lash"\nkind = "lash"\n'
    sheet, findings = check(old)
    assert sheet is not None, findings
    assert sheet.sheet.key == "old-box"
    assert sheet.responses[0].key == "lash"


def test_a_sheet_of_a_newer_version_says_so() -> None:
    _, findings = check('[sheet]\nsheet_version = 99\nkey = "x"\nname = "x"\n')
    assert "newer Casewright" in findings[0].message


@pytest.mark.parametrize("text", ["", "[sheet", "sheet = 3", "[[sheet]]\nx=1", "a\x00b"])
def test_nonsense_is_a_finding_and_never_a_crash(text: str) -> None:
    sheet, findings = check(text)
    assert sheet is None
    assert findings


def test_a_joint_that_never_opens_is_named() -> None:
    text = """\
[sheet]
sheet_version = 1
key = "x"
name = "x"
[[units]]
key = "u"
name = "u"
[[parts]]
key = "part"
name = "part"
kind = "other"
[[positions]]
key = "p"
name = "p"
part = "part"
unit = "u"
[[joints]]
key = "a"
name = "a"
kind = "lift-off"
holds = ["p"]
[[joints]]
key = "b"
name = "b"
kind = "lift-off"
holds = ["p"]
[[blocks]]
joint = "a"
after_any = [["b"]]
[[blocks]]
joint = "b"
after = ["a"]
"""
    _, findings = check(text)
    assert any("can never be opened" in found.message for found in findings)


def test_the_digest_is_of_the_text_itself() -> None:
    assert digest_of("a") == "ca978112ca1bbdcafac231b39a23dc4da786eff8147c4e72b9807785afee48bb"


def test_the_json_schema_names_every_table() -> None:
    schema = json.loads(json_schema())
    assert {"positions", "joints", "adjusters", "circuits"} <= set(schema["properties"])
    assert schema["additionalProperties"] is False
