"""`python -m bench` lists the benchmarks; `python -m bench NAME [--quick]` runs one.

A benchmark is a module here with a docstring (first line for the list; the rest describes the
reference and what is measured) and `run(quick: bool) -> dict[str, float]`, which prints a
readable table and returns its figures. The last line printed is one JSON object.
"""

from __future__ import annotations

import argparse
import ast
import importlib
import json
from pathlib import Path

HERE = Path(__file__).parent


def names() -> dict[str, str]:
    """Benchmark name to the first line of its docstring, without importing it."""
    found = {}
    for path in sorted(HERE.glob("*.py")):
        if not path.stem.startswith("_"):
            text = ast.get_docstring(ast.parse(path.read_text("utf-8"))) or ""
            found[path.stem] = text.splitlines()[0] if text else ""
    return found


def main() -> int:
    """List, or run one and print its figures."""
    parser = argparse.ArgumentParser(prog="go.py bench", description="Run one benchmark.")
    parser.add_argument("name", nargs="?", help="which one; without it they are listed")
    parser.add_argument("--quick", action="store_true", help="a smaller run, under 40 s")
    chosen = parser.parse_args()
    known = names()
    if chosen.name is None:
        for name, line in known.items():
            print(f"{name:10s} {line}")
        return 0
    if chosen.name not in known:
        print(f"no benchmark {chosen.name!r}; there are: {', '.join(known)}")
        return 2
    figures = importlib.import_module(f"bench.{chosen.name}").run(quick=chosen.quick)
    print(json.dumps({"bench": chosen.name, "figures": figures}))
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
