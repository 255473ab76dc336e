"""Format, lint, types and layers hold; the same word runs them here and in CI."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
BIN = Path(sys.executable).parent


@pytest.mark.parametrize(
    "command",
    [
        ("ruff", "format", "--check", "."),
        ("ruff", "check", "."),
        ("mypy",),
        ("lint-imports",),
    ],
    ids=lambda command: " ".join(command),
)
def test_check_passes(command: tuple[str, ...]) -> None:
    done = subprocess.run(
        [BIN / command[0], *command[1:]], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr
