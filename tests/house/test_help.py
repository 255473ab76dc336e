"""Asking for help is quick and says everything: no numerics, web or PDF package is imported."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
HEAVY = ("numpy", "scipy", "django", "typst", "pint", "jinja2", "uncertainties", "casewright.voice")


@pytest.mark.parametrize("words", [["--help"], ["strip", "--help"], ["sheet", "--help"]])
def test_help_imports_no_heavy_package(words: list[str]) -> None:
    code = (
        "import sys\nfrom casewright.cli import main\nsys.argv[1:] = sys.argv[1:]\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip().splitlines()[-1] == "[]"


def test_the_starter_uses_only_the_standard_library() -> None:
    text = (ROOT / "go.py").read_text("utf-8")
    imported = {
        line.split()[1].split(".")[0]
        for line in text.splitlines()
        if line.startswith(("import ", "from "))
    }
    assert imported <= set(sys.stdlib_module_names)
