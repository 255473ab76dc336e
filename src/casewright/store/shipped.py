"""The sheets and demo jobs that come with Casewright; all of them invented."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]


def shipped_sheets() -> dict[str, str]:
    """Key to text of the shipped drive sheets."""
    return {path.stem: path.read_text("utf-8") for path in _files("sheets", "*.toml")}


def demo_logs() -> dict[str, str]:
    """Job id to text of the demo jobs' logs."""
    return {path.stem: path.read_text("utf-8") for path in _files("demo", "*.jsonl")}


def _files(folder: str, pattern: str) -> list[Path]:
    """Files beside the source tree, or inside the installed package."""
    for base in (ROOT, Path(__file__).resolve().parents[1] / "_shipped"):
        if found := sorted((base / folder).glob(pattern)):
            return found
    return []
