"""The log as text: chain, torn tail, doubles, order, unknown kinds; nothing good is lost."""

from __future__ import annotations

import dataclasses
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import BrokenChainError, EntryRefusedError, LogError
from casewright.job import kinds
from casewright.job.entry import Accepted, Entry, accept, canonical, entry_from, hash_of
from casewright.job.fold import fold
from casewright.job.log import read_log, take, write_log
from tests.phases.cast import MOMENT, log_of, opening


@pytest.fixture(scope="module")
def log() -> list[Accepted]:
    return log_of(
        [*opening(), kinds.Complaint(words="milky oil"), kinds.Noted(words="Ölig, 20 °C")]
    )


def test_what_is_written_is_read_back_with_the_same_hash(log: list[Accepted]) -> None:
    again = read_log(write_log(log))
    assert list(again.entries) == log
    assert again.head == log[-1].hash
    assert fold(again.entries).head == log[-1].hash


def test_a_torn_last_line_is_left_out_and_said(log: list[Accepted]) -> None:
    torn = read_log(write_log(log)[:-40])
    assert list(torn.entries) == log[:-1]
    assert "torn" in torn.oddities[0]


def test_a_whole_last_line_without_its_end_still_counts(log: list[Accepted]) -> None:
    assert list(read_log(write_log(log).rstrip("\n")).entries) == log


def test_a_torn_line_in_the_middle_is_an_error(log: list[Accepted]) -> None:
    lines = write_log(log).splitlines()
    lines[1] = lines[1][:50]
    with pytest.raises(LogError, match="line 2"):
        read_log("\n".join(lines) + "\n")


def test_a_line_that_stands_twice_is_taken_once(log: list[Accepted]) -> None:
    text = write_log(log) + log[1].line() + "\n"
    again = read_log(text)
    assert list(again.entries) == log
    assert any("stands twice" in odd for odd in again.oddities)


def test_lines_out_of_order_are_sorted_and_said(log: list[Accepted]) -> None:
    again = read_log(write_log([*log[1:], log[0]]))
    assert list(again.entries) == log
    assert any("out of order" in odd for odd in again.oddities)


def test_a_changed_entry_breaks_the_chain_by_number(log: list[Accepted]) -> None:
    text = write_log(log).replace("milky oil", "clear oil")
    with pytest.raises(BrokenChainError) as caught:
        read_log(text)
    assert caught.value.sequence == 3
    read_on = read_log(text, allow_broken=True)
    assert len(read_on.entries) == len(log)
    assert "broken at entry 3" in read_on.oddities[0]


def test_a_missing_entry_is_named(log: list[Accepted]) -> None:
    with pytest.raises(LogError, match="entry 2 is missing"):
        read_log(write_log([log[0], *log[2:]]))


def test_a_resend_is_one_entry_and_other_content_under_its_id_is_refused(
    log: list[Accepted],
) -> None:
    same, is_new = take(log, log[2].entry, MOMENT)
    assert (same, is_new) == (log[2], False)
    other = dataclasses.replace(log[2].entry, body={"words": "else"})
    with pytest.raises(EntryRefusedError, match="supersedes it"):
        take(log, other, MOMENT)


def test_a_kind_from_a_newer_version_is_kept_and_not_counted(log: list[Accepted]) -> None:
    newer = Entry("newer-0001", "hologram", {"shape": "gear"}, "AB", MOMENT)
    later = accept(newer, len(log) + 1, MOMENT, log[-1].hash)
    text = write_log([*log, later])
    state = fold(read_log(text).entries)
    assert state.unknown == (later,)
    assert "newer Casewright" in state.oddities[0]
    assert write_log(read_log(text).entries) == text
    assert state.complaint is not None


def test_canonical_text_is_the_published_form_of_sorted_json() -> None:
    # RFC 8785 orders keys and leaves out blanks; for our texts and whole numbers the two agree.
    assert canonical({"b": 1, "a": "ö"}) == '{"a":"ö","b":1}'
    assert hash_of("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@given(st.dictionaries(st.text(max_size=8), st.text(max_size=20) | st.integers(), max_size=5))
def test_any_body_survives_the_line(body: dict[str, object]) -> None:
    made = accept(Entry("some-id-1", "odd-kind", body, "AB", MOMENT), 1, MOMENT, "0" * 64)
    (again,) = read_log(made.line() + "\n").entries
    assert again == made
    assert json.loads(made.line())["body"] == body


@pytest.mark.parametrize(
    "change",
    [
        {"id": "short"},
        {"happened_at": "yesterday"},
        {"happened_at": "2026-03-04T09:00"},
        {"body": 3},
    ],
)
def test_what_is_not_an_entry_is_refused(change: dict[str, object], log: list[Accepted]) -> None:
    plain = {**log[2].entry.plain(), **change}
    with pytest.raises((EntryRefusedError, Exception)) as caught:
        entry_from(plain)
    assert caught.type.__name__ in ("EntryRefusedError", "InputError")
