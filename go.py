#!/usr/bin/env python3
"""Set up and run Casewright on a fresh machine: only Python 3.11 or newer is needed.

python3 go.py demo         set up, run the main job on the demo, write the book
python3 go.py serve        open the pages (with the demo jobs)
python3 go.py test         set up and run all tests (installs Chromium where it can)
python3 go.py check        every check: format, lint, types, layers, tests
python3 go.py bench [NAME] list the benchmarks, or run one
python3 go.py run ...      any casewright command
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
LOCK = ROOT / "requirements.lock"
STAMP = VENV / "casewright-stamp"


def run(*command: object, quiet: bool = False, **more: object) -> int:
    """Run a command in the project; its exit code."""
    out = subprocess.DEVNULL if quiet else None
    return subprocess.run([str(part) for part in command], cwd=ROOT, stdout=out, **more).returncode


def need(*command: object, **more: object) -> None:
    """Run a command that must succeed."""
    code = run(*command, **more)
    if code:
        sys.exit(code)


def set_up() -> None:
    """The project's own environment with the locked, hashed packages; nothing twice."""
    wanted = hashlib.sha256(LOCK.read_bytes() + (ROOT / "pyproject.toml").read_bytes()).hexdigest()
    if STAMP.exists() and STAMP.read_text("utf-8") == wanted:
        return
    print("Setting up .venv (once, about half a minute) ...", flush=True)
    if not PYTHON.exists():
        venv.create(VENV, with_pip=True)
    need(PYTHON, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "uv")
    install = (PYTHON, "-m", "uv", "pip", "install", "--quiet", "--python", PYTHON)
    need(*install, "--require-hashes", "--compile-bytecode", "-r", LOCK)
    need(*install, "--no-deps", "--no-build-isolation", "-e", ROOT)
    STAMP.write_text(wanted, "utf-8")


def chromium() -> str:
    """Path of a Chromium for the browser tests; installed by apt where we may, else "" and said."""
    found = os.environ.get("CASEWRIGHT_CHROMIUM") or _on_path()
    if found:
        return found
    if shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        print("Installing Chromium for the browser tests ...", flush=True)
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        run("apt-get", "update", "-qq", quiet=True, env=quiet)
        run("apt-get", "install", "-y", "-qq", "chromium", quiet=True, env=quiet)
    return _on_path()


def _on_path() -> str:
    names = ("chromium", "chromium-browser", "google-chrome")
    return next((path for name in names if (path := shutil.which(name))), "")


def tests(*more: str) -> int:
    """All tests; browser tests need Chromium and CI never goes without."""
    browser = chromium()
    environment = {**os.environ, "CASEWRIGHT_CHROMIUM": browser, "OPENBLAS_NUM_THREADS": "1"}
    command = [PYTHON, "-m", "pytest", "-n", str(min(4, os.cpu_count() or 1)), *more]
    if not browser:
        if os.environ.get("CI"):
            print("Chromium could not be installed, and CI never skips the browser tests.")
            return 1
        command += ["-m", "not browser"]
    code = run(*command, env=environment)
    if not browser:
        print(
            "The browser tests were NOT run: no Chromium was found and it can't be installed "
            "here. Install Chromium, or name it in CASEWRIGHT_CHROMIUM, and run this again."
        )
    return code


def check() -> int:
    """The one word for every check: the house rules first, since they answer soonest."""
    return tests("tests/house") or tests("--ignore=tests/house")


def main() -> int:
    """One word, and what goes with it."""
    word, *rest = sys.argv[1:] or ["help"]
    if sys.version_info < (3, 11):  # noqa: UP036, said plainly instead of a syntax error
        print("Casewright needs Python 3.11 or newer.")
        return 1
    if word not in ("demo", "serve", "test", "check", "bench", "run"):
        print(__doc__)
        return 0 if word in ("help", "-h", "--help") else 2
    set_up()
    if word == "test":
        return tests(*rest)
    if word == "check":
        return check()
    if word == "bench":
        return run(PYTHON, "-m", "bench", *rest)
    if word == "serve":
        rest = ["--demo", *rest]
    command = rest if word == "run" else [word, *rest]
    return run(PYTHON, "-m", "casewright", *command)


if __name__ == "__main__":
    try:
        sys.exit(main())
    except KeyboardInterrupt:
        sys.exit(130)
