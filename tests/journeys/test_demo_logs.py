"""The demo jobs: read, chained, folded without a remark, the same in a file and in a database."""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from casewright.drive.load import load
from casewright.job.fold import fold
from casewright.job.kinds import BODIES
from casewright.job.log import read_log, write_log
from casewright.store.files import FileStore
from casewright.store.protocol import LogStore
from tests.journeys.bench import DEMO, DEMOS, demo_log, demo_state, sheet_text


@pytest.fixture(params=["files", "database"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[LogStore]:
    if request.param == "files":
        yield FileStore(tmp_path)
    else:
        from casewright.shop.store import DatabaseStore

        yield DatabaseStore()


@pytest.mark.parametrize("name", DEMOS)
def test_a_demo_log_folds_without_a_remark(name: str) -> None:
    log, state = demo_log(name), demo_state(name)
    assert log.oddities == ()
    assert state.oddities == ()
    assert state.conflicts == ()
    assert state.unknown == ()
    assert state.count == len(log.entries)


@pytest.mark.parametrize("name", DEMOS)
def test_the_chain_holds_when_it_is_recomputed_by_hand(name: str) -> None:
    """SHA-256 over the line without its hash, keys sorted, no blanks: as the manual page says."""
    before = "0" * 64
    for line in (DEMO / f"{name}.jsonl").read_text("utf-8").splitlines():
        plain = json.loads(line)
        said = plain.pop("hash")
        assert plain["before"] == before
        text = json.dumps(plain, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        assert hashlib.sha256(text.encode()).hexdigest() == said
        before = said


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("name", DEMOS)
def test_export_and_import_give_the_same_hash_and_state(name: str, store: LogStore) -> None:
    log = demo_log(name)
    store.bring_in(name, log)
    back = store.read(name)
    assert back.head == log.head
    assert write_log(back.entries) == (DEMO / f"{name}.jsonl").read_text("utf-8")
    assert fold(back.entries) == demo_state(name)


@pytest.mark.parametrize("name", DEMOS)
def test_the_demo_keeps_the_shipped_sheet_as_it_is_today(name: str) -> None:
    state = demo_state(name)
    text = sheet_text(state.sheet_name)
    assert state.sheet_digest == load(text).digest, "run demo/make_demo.py after changing a sheet"


def test_the_definitions_still_make_the_shipped_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    """The smallest job is told again from its definition; the others follow the same way."""
    monkeypatch.syspath_prepend(str(DEMO))
    import make_demo
    import reseal

    log = make_demo.Log(reseal.JOB)
    reseal.tell(log)
    assert log.text() == (DEMO / "reseal.jsonl").read_text("utf-8")
    for module in ("make_demo", "reseal", "model"):
        sys.modules.pop(module, None)


def test_the_demos_use_nearly_every_kind_of_entry() -> None:
    used = {a.entry.kind for name in DEMOS for a in demo_log(name).entries}
    aside = {
        "limit-added",
        "lock-opened",
        "withdrawn",
        "settled",
        "photo",
        "setting",
        "calculation",
        "parts-shelf",
        "piece-known",
    }
    assert set(BODIES) - used <= aside


def test_some_things_were_typed_long_after_they_happened() -> None:
    late = [
        a for a in demo_log("oyster-boat").entries if a.recorded_at[:16] > a.entry.happened_at[:16]
    ]
    hours = [a for a in late if int(a.recorded_at[11:13]) - int(a.entry.happened_at[11:13]) >= 1]
    assert len(hours) >= 10


def test_old_and_new_pieces_of_the_oyster_boat_are_apart() -> None:
    state = demo_state("oyster-boat")
    bore = state.readings_of("ahead-cup-seat")
    assert {reading.piece for reading in bore} == {"in:lower.housing", "lower.housing#2"}
    old = state.readings_of("ahead-cup-seat", piece="in:lower.housing")
    assert all(value.startswith("80.0") for value in old[0].body.values)


def test_a_torn_copy_of_a_demo_reads_up_to_the_tear() -> None:
    text = (DEMO / "survey-launch.jsonl").read_text("utf-8")
    torn = read_log(text[:-40])
    assert len(torn.entries) == len(demo_log("survey-launch").entries) - 1
    assert "torn" in torn.oddities[0]
