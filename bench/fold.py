"""Fold of a long log: the cost of an entry doesn't grow with the log.

The reference is the same fold of a log of half the length: `growth` is the time for 4,000 entries
over the time for 2,000 (2 means linear). The log is a mixture of readings, counts, steps,
corrections and packs, as a long job has them; the adopted sheet is read once in each fold.
"""

from __future__ import annotations

import time
from pathlib import Path

from casewright.drive.load import load
from casewright.job.entry import Accepted, Entry, accept
from casewright.job.fold import fold

MOMENT = "2026-03-04T09:00:00+00:00"
SHEET = Path(__file__).parents[1] / "sheets" / "winkle-3.toml"


def mixture(count: int) -> list[Accepted]:
    """A log of `count` entries of many kinds."""
    text = SHEET.read_text("utf-8")
    digest = load(text).digest
    first = [
        ("job-opened", {"title": "long job"}, None),
        ("sheet-adopted", {"name": "winkle-3", "text": text, "digest": digest}, None),
    ]
    log: list[Accepted] = []
    before = "0" * 64
    for number in range(count):
        kind, body, supersedes = first[number] if number < 2 else _one(number)
        entry = Entry(f"entry-{number:06d}", kind, body, "AB", MOMENT, supersedes=supersedes)
        made = accept(entry, number + 1, MOMENT, before)
        before = made.hash
        log.append(made)
    return log


def _one(number: int) -> tuple[str, dict[str, object], str | None]:
    trial = f"trial-{1 + number // 200}"
    place = 1 + number % 6
    kinds: tuple[tuple[str, dict[str, object]], ...] = (
        ("reading", {"target": "ahead-lash", "occasion": trial, "values": ["0.41 mm", "0.43 mm"]}),
        (
            "fasteners-counted",
            {"joint": "lower-off-upper", "places": [place], "fastener_state": "out"},
        ),
        ("step-done", {"step": f"step-{number}", "minutes": 4}),
        ("pack-fitted", {"adjuster": "ahead-pack", "occasion": trial, "shims": ["0.30 mm"]}),
        ("note", {"words": "kept the shims with their seat"}),
    )
    kind, body = kinds[number % len(kinds)]
    corrects = f"entry-{number - 5:06d}" if number % 50 == 7 else None
    return kind, body, corrects


def best_of(log: list[Accepted], times: int) -> float:
    """Shortest time of several folds [s]."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        fold(log)
        found.append(time.perf_counter() - start)
    return min(found)


def run(quick: bool) -> dict[str, float]:
    """Time the fold at 2,000 and 4,000 entries."""
    times = 3 if quick else 9
    half, full = (best_of(mixture(count), times) for count in (2000, 4000))
    print("entries   seconds   microseconds an entry")
    for count, seconds in ((2000, half), (4000, full)):
        print(f"{count:7d}   {seconds:7.4f}   {1e6 * seconds / count:8.1f}")
    return {"growth": full / half, "seconds": half}
