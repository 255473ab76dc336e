"""`casewright demo`: the main result in the terminal, the book as files, and what to do next."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from casewright.demo import SERVE, run
from tests.journeys.bench import demo_log, settings


def test_it_prints_the_result_and_names_the_book(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run(tmp_path / "out", settings(), as_json=False)
    said = capsys.readouterr().out
    flat = "".join(said.split())
    for name in ("oyster-boat.pdf", "oyster-boat.html"):
        assert name in flat
        assert (tmp_path / "out" / name).stat().st_size > 10_000
    assert SERVE in said
    for words in ("absent", "replace", "0.50", "Nothing is open"):
        assert words in said
    assert (tmp_path / "out" / "oyster-boat.pdf").read_bytes().startswith(b"%PDF")


def test_with_json_it_prints_one_object(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(tmp_path, settings(), as_json=True)
    said = json.loads(capsys.readouterr().out)
    assert said["head"] == demo_log("oyster-boat").head
    assert set(said["rooms"]) == {"strip", "inspect", "setup", "handover"}
    assert Path(said["files"]["html"]).exists()
