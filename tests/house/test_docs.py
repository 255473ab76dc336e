"""Every room, command, kind of entry, error and benchmark stands in the docs, or this fails."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.main import get_command

from casewright import errors
from casewright.cli import app
from casewright.job.kinds import BODIES, ROOMS

ROOT = Path(__file__).parents[2]
DOCS = {
    path.relative_to(ROOT).as_posix(): path.read_text("utf-8")
    for path in (ROOT / "docs").rglob("*.md")
}
ALL = "\n".join(DOCS.values()) + (ROOT / "README.md").read_text("utf-8")


@pytest.mark.parametrize("room", ROOMS)
def test_every_room_has_its_manual_page(room: str) -> None:
    assert f"docs/manual/{room}.md" in DOCS


def test_every_command_is_in_the_manual() -> None:
    text = DOCS["docs/manual/terminal.md"]
    for name, command in get_command(app).commands.items():  # type: ignore[attr-defined]
        assert f"`casewright {name}" in text, name
        for inner in getattr(command, "commands", {}):
            assert f"`casewright {name} {inner}" in text, inner


@pytest.mark.parametrize("kind", sorted(BODIES))
def test_every_kind_of_entry_is_in_the_manual(kind: str) -> None:
    assert f"`{kind}`" in ALL


def test_every_error_is_in_the_tree_that_is_drawn() -> None:
    drawn = errors.__doc__ or ""
    classes = [
        name
        for name, item in vars(errors).items()
        if isinstance(item, type) and issubclass(item, Exception)
    ]
    assert len(classes) >= 12
    for name in classes:
        assert name in drawn


def test_every_benchmark_is_in_the_docs() -> None:
    for path in (ROOT / "bench").glob("[a-z]*.py"):
        assert f"bench {path.stem}" in ALL, path.stem


def test_every_exit_code_is_in_the_readme() -> None:
    codes = {
        item.exit_code
        for item in vars(errors).values()
        if isinstance(item, type) and issubclass(item, errors.CasewrightError)
    }
    text = (ROOT / "README.md").read_text("utf-8").partition("Exit codes")[2]
    for code in codes:
        assert re.search(rf"\b{code}\b", text), code


def test_no_committed_text_names_a_registry_or_a_path_of_a_machine() -> None:
    pattern = re.compile(
        r"registry *= *\"http|https?://[^ ]*(simple/|/-/)|/work/main|/root/|/opt/pypi"
    )
    names = ("*.py", "*.md", "*.toml", "*.lock", "*.html", "*.js", "*.css", "*.typ")
    skipped = (".venv", "node_modules", ".git")
    for name in names:
        for path in ROOT.rglob(name):
            if not any(part in skipped for part in path.parts) and path != Path(__file__):
                assert not pattern.search(path.read_text("utf-8")), path
