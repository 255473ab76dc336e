"""WCAG 2.2 AA by axe in a real browser, at tablet and phone width, light and dark; big targets."""

from __future__ import annotations

from urllib.parse import urlencode

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from casewright.job.kinds import ROOMS
from casewright.job.log import read_log
from casewright.shop.store import DatabaseStore
from casewright.store.shipped import demo_logs
from tests.browser.conftest import PHONE, TABLET
from tests.unit.sums.test_sums import EXAMPLES

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
TWICE = """() => { const all = [...document.querySelectorAll('[id]')].map((one) => one.id);
                   return all.filter((id, at) => all.indexOf(id) !== at); }"""
FACES = [(TABLET, "light"), (PHONE, "dark")]


def bring_demo_in() -> list[str]:
    for name, text in demo_logs().items():
        DatabaseStore().bring_in(name, read_log(text))
    return sorted(demo_logs())


@pytest.mark.parametrize(("size", "scheme"), FACES, ids=["tablet-light", "phone-dark"])
def test_every_page_of_the_demo_jobs_passes_axe(
    browser: Browser, address: str, size: dict[str, int], scheme: str
) -> None:
    jobs = bring_demo_in()
    context = browser.new_context(viewport=size, color_scheme=scheme, reduced_motion="reduce")  # type: ignore[arg-type]
    page = context.new_page()
    paths = ["", "you/", "sheets/", "bring-in/", f"job/{jobs[0]}/", f"job/{jobs[0]}/log/"]
    paths += ["sums/", "sums/leak/"]
    paths += [f"sums/{key}/?{urlencode(EXAMPLES[key])}" for key in ("press-fit", "heat-bore")]
    paths += [f"job/{job}/{room}/" for job in (jobs[0], jobs[-1]) for room in ROOMS]
    wrong = {}
    for path in paths:
        page.goto(f"{address}/{path}")
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        found = Axe().run(page, options=RULES).response["violations"]
        if found:
            wrong[path] = [(one["id"], one["nodes"][0]["html"][:160]) for one in found]
    context.close()
    assert not wrong


def test_nothing_to_touch_is_smaller_than_a_glove_needs(browser: Browser, address: str) -> None:
    jobs = bring_demo_in()
    page = browser.new_page(viewport=TABLET)  # type: ignore[arg-type]
    small: dict[str, list[str]] = {}
    rooms = [f"job/{jobs[-1]}/{room}/" for room in ROOMS]
    for room in (*rooms, "sums/", f"sums/heat-bore/?{urlencode(EXAMPLES['heat-bore'])}"):
        page.goto(f"{address}/{room}")
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        found = page.evaluate(
            """() => [...document.querySelectorAll(
                "button, summary, select, textarea, .choice, .cell, .unit, .go a, .picks a, .measure input, .rooms a, .box input")]
                .filter((one) => one.getClientRects().length && one.getBoundingClientRect().height < 47.5)
                .map((one) => one.outerHTML.slice(0, 120))"""
        )
        if found:
            small[room] = found
    page.close()
    assert not small


def test_the_next_thing_is_in_sight_and_no_page_scrolls_sideways(
    browser: Browser, address: str
) -> None:
    jobs = bring_demo_in()
    for size in (TABLET, PHONE):
        page = browser.new_page(viewport=size)  # type: ignore[arg-type]
        for job in jobs:
            for room in ROOMS:
                page.goto(f"{address}/job/{job}/{room}/")
                box = page.locator("#next-thing").bounding_box()
                assert box is not None
                assert box["y"] < size["height"] / 2, (job, room)
                twice = page.evaluate(TWICE)
                assert not twice, (job, room, twice)
                wide = page.evaluate("document.documentElement.scrollWidth")
                assert wide <= size["width"] + 1, (job, room, wide)
        page.close()
