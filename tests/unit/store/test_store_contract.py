"""One contract for every store of logs: files and database rows mean the same."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from casewright.errors import EntryRefusedError, LogError
from casewright.job.entry import Entry
from casewright.job.fold import fold
from casewright.job.log import read_log, write_log
from casewright.job.state import State
from casewright.store.earlier import earlier_jobs, family_jobs
from casewright.store.files import FileStore
from casewright.store.protocol import LogStore
from tests.phases.cast import MOMENT, log_of, opening

pytestmark = pytest.mark.django_db(transaction=True)
CLOCK = lambda: "2026-03-04T10:00:00+00:00"  # noqa: E731


@pytest.fixture(params=["files", "database"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[LogStore]:
    if request.param == "files":
        yield FileStore(tmp_path, CLOCK)
    else:
        from casewright.shop.store import DatabaseStore

        yield DatabaseStore(CLOCK)


def note(number: int, words: str = "a note") -> Entry:
    return Entry(f"note-{number:05d}", "note", {"words": words}, "AB", MOMENT)


def start(store: LogStore, job: str = "job-1") -> None:
    for made in log_of(opening()):
        store.append(job, made.entry)


def test_entries_get_sequence_time_and_hash(store: LogStore) -> None:
    start(store)
    third = store.append("job-1", note(1))
    assert (third.sequence, third.recorded_at) == (3, "2026-03-04T10:00:00+00:00")
    assert store.read("job-1").head == third.hash
    assert store.jobs() == ("job-1",)


def test_jobs_of_a_leg_are_found_by_its_number(store: LogStore) -> None:
    serials = {"job-1": 'W "3" ø', "job-2": "", "job-3": 'W "3" ø', "job-4": "W"}
    for job, serial in serials.items():
        for made in log_of(opening(leg_serial=serial)):
            store.append(job, made.entry)
    assert sorted(store.jobs_of_leg('W "3" ø')) == ["job-1", "job-3"]
    assert store.jobs_of_leg("W") == ("job-4",)
    assert store.jobs_of_leg("") == store.jobs_of_leg("another") == ()


def test_earlier_jobs_are_those_of_the_same_leg_opened_before(store: LogStore) -> None:
    days = {"a": "2026-03-01", "b": "2025-03-01", "c": "2027-03-01", "other": "2024-03-01"}
    for job, day in days.items():
        serial = "W" if job == "other" else "L-4"
        for made in log_of(opening(leg_serial=serial)):
            store.append(job, replace(made.entry, happened_at=f"{day}T09:00:00+00:00"))

    def state_of(job: str) -> State:
        return fold(store.read(job).entries)

    (before,) = earlier_jobs(store, "a", state_of("a"), state_of)
    assert before.opened is not None and before.opened.happened_at[:10] == days["b"]
    found = earlier_jobs(store, "c", state_of("c"), state_of)
    assert [one.opened.happened_at[:4] for one in found if one.opened] == ["2025", "2026"]


def test_jobs_of_a_family_are_found_by_their_sheet_once_a_pattern_was_seen(store: LogStore) -> None:
    pattern = {"mesh": "lower.ahead-mesh", "occasion": "trial-1", "drive_along": 40, "drive_up": 50}
    for job, sheet, seen in (
        ("a", "winkle-3", True), ("b", "winkle-3", True), ("c", "winkle-3", False),
        ("d", "whelk-4", True),
    ):  # fmt: skip
        opened, adopted = log_of(opening())
        store.append(job, opened.entry)
        store.append(job, replace(adopted.entry, body={**adopted.entry.body, "name": sheet}))
        if seen:
            for number in (1, 2):
                entry = Entry(f"pattern-{number}0", "pattern-seen", pattern, "AB", MOMENT)
                store.append(job, entry)
    assert store.jobs_on_sheet("winkle-3", "pattern-seen") == ("a", "b")
    assert store.jobs_on_sheet("winkle-3", "torque") == store.jobs_on_sheet("", "note") == ()
    for number, name in ((7, "whelk-4"), (8, "winkle-3")):
        again = {**adopted.entry.body, "name": name}
        store.append("d", Entry(f"adopted-{number}", "sheet-adopted", again, "AB", MOMENT))
    assert store.jobs_on_sheet("winkle-3", "pattern-seen") == ("a", "b", "d")

    def state_of(job: str) -> State:
        return fold(store.read(job).entries)

    assert len(family_jobs(store, "a", state_of("a"), state_of)) == 2
    assert family_jobs(store, "c", state_of("c"), state_of) == ()


def test_sent_twice_is_one_entry(store: LogStore) -> None:
    start(store)
    once, twice = store.append("job-1", note(1)), store.append("job-1", note(1))
    assert once == twice
    assert len(store.read("job-1").entries) == 3


def test_the_same_id_with_other_words_is_refused_and_nothing_changes(store: LogStore) -> None:
    start(store)
    store.append("job-1", note(1))
    before = store.read("job-1")
    with pytest.raises(EntryRefusedError):
        store.append("job-1", note(1, "other words"))
    assert store.read("job-1") == before


def test_export_then_import_gives_the_same_state_and_hash(store: LogStore) -> None:
    start(store)
    store.append("job-1", note(1, 'Ölnebel; "quoted"; 20 °C\nsecond line'))
    text = write_log(store.read("job-1").entries)
    store.bring_in("copy", read_log(text))
    assert write_log(store.read("copy").entries) == text
    assert fold(store.read("copy").entries).head == fold(store.read("job-1").entries).head
    store.bring_in("copy", read_log(text))


def test_another_log_under_the_same_id_is_refused(store: LogStore) -> None:
    start(store)
    log = read_log(write_log(store.read("job-1").entries[:1]))
    with pytest.raises(LogError, match="new id"):
        store.bring_in("job-1", log)


def test_a_job_that_is_not_here_is_said(store: LogStore) -> None:
    with pytest.raises(LogError, match="no job"):
        store.read("nothing")


def test_two_writers_at_once_lose_nothing(store: LogStore) -> None:
    start(store)
    problems: list[BaseException] = []

    def write(first: int) -> None:
        try:
            for number in range(first, first + 8):
                store.append("job-1", note(number))
        except BaseException as error:
            problems.append(error)
        finally:
            _close()

    threads = [threading.Thread(target=write, args=(100 * n,)) for n in (1, 2)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not problems
    log = store.read("job-1")
    assert len(log.entries) == 2 + 16
    assert len({accepted.entry.id for accepted in log.entries}) == 18


def _close() -> None:
    from django.db import connections

    connections.close_all()


def test_files_and_rows_hold_the_same_bytes(tmp_path: Path) -> None:
    from casewright.shop.store import DatabaseStore

    files, rows = FileStore(tmp_path, CLOCK), DatabaseStore(CLOCK)
    for one in (files, rows):
        start(one)
        one.append("job-1", note(1))
    text = (tmp_path / "job-1.jsonl").read_text("utf-8")
    assert text == write_log(rows.read("job-1").entries)


def test_a_torn_file_goes_on_behind_its_last_whole_line(tmp_path: Path) -> None:
    store = FileStore(tmp_path, CLOCK)
    start(store)
    store.append("job-1", note(1))
    path = tmp_path / "job-1.jsonl"
    path.write_bytes(path.read_bytes()[:-30])
    assert "torn" in store.read("job-1").oddities[0]
    store.append("job-1", note(2))
    log = store.read("job-1")
    assert [accepted.entry.id for accepted in log.entries[2:]] == ["note-00002"]
    assert log.oddities == ()


def test_a_file_without_its_last_line_end_keeps_its_last_entry(tmp_path: Path) -> None:
    store = FileStore(tmp_path, CLOCK)
    start(store)
    store.append("job-1", note(1))
    path = tmp_path / "job-1.jsonl"
    path.write_bytes(path.read_bytes().rstrip(b"\n"))
    store.append("job-1", note(2))
    ids = [accepted.entry.id for accepted in store.read("job-1").entries[2:]]
    assert ids == ["note-00001", "note-00002"]


@pytest.mark.parametrize("name", ["../x", "", "a/b", ".hidden", "x" * 200])
def test_a_job_id_can_not_leave_the_folder(tmp_path: Path, name: str) -> None:
    with pytest.raises(LogError):
        FileStore(tmp_path).read(name)
