"""A technician does the whole demo job in the browser, by clicking and typing."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from casewright.job.entry import Entry, body_of
from casewright.job.fold import fold
from casewright.job.log import read_log
from casewright.job.packs import pack_at
from casewright.job.verdicts import condemned_positions
from casewright.shop.store import DatabaseStore
from casewright.store.shipped import demo_logs
from tests.browser.driver import ASIDE, enter


def plain(entry: Entry) -> dict[str, object]:
    """A body without the remarks that a page may leave out."""
    aside = {"confirmed", "unit", *ASIDE.get(entry.kind, ())}
    return body_of(entry).model_dump(mode="json", exclude=aside)


def open_like(page: Page, address: str, first: Entry, sheet: str) -> str:
    """Open the job on the home page as the demo was opened."""
    page.goto(f"{address}/")
    page.get_by_label("What shall the job be called").fill(str(first.body["title"]))
    page.get_by_label("Drive sheet").select_option(sheet)
    page.get_by_label("How much of the leg").select_option(str(first.body["scope"]))
    page.get_by_label("Your name or initials").fill(first.who)
    page.get_by_role("button", name="Open the job").click()
    page.wait_for_url("**/job/**")
    (job,) = DatabaseStore().jobs()
    return job


@pytest.mark.parametrize("name", ["reseal", "oyster-boat"])
def test_the_demo_job_is_done_by_clicking_and_typing(page: Page, address: str, name: str) -> None:
    demo = [accepted.entry for accepted in read_log(demo_logs()[name]).entries]
    assert [one.kind for one in demo[:2]] == ["job-opened", "sheet-adopted"]
    job = open_like(page, address, demo[0], str(demo[1].body["name"]))
    done = 2
    for entry in demo[2:]:
        enter(page, f"{address}/job/{job}", entry)
        done += 1
        log = DatabaseStore().read(job).entries
        assert len(log) == done, (
            entry.kind,
            dict(entry.body),
            page.locator("[role=alert]").all_inner_texts(),
        )
        assert plain(log[-1].entry) == plain(entry)
    state = fold(DatabaseStore().read(job).entries)
    wanted = fold(read_log(demo_logs()[name]).entries)
    assert state.signed is not None
    assert condemned_positions(state) == condemned_positions(wanted)
    for adjuster in wanted.packs:
        assert pack_at(state, adjuster, "final") == pack_at(wanted, adjuster, "final")
    page.goto(f"{address}/job/{job}/handover/")
    expect(page.locator("main")).to_contain_text(state.signed.body.signed_by)
    book = page.request.get(f"{address}/job/{job}/book.pdf")
    assert book.body().startswith(b"%PDF")
