"""A contact pattern tapped, drawn and ticked by keyboard on the tooth picture, in a real browser."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from casewright.shop.store import DatabaseStore
from tests.browser.conftest import PHONE, TABLET
from tests.browser.test_outbox import open_a_job

AHEAD = "lower.ahead-mesh"


def form_of(page: Page, address: str, job: str) -> Locator:
    page.goto(f"{address}/job/{job}/setup/")
    page.get_by_text("Record the pattern of the ahead mesh").click()
    return page.locator(
        f"form:has(input[name=drive_cells]):has(input[name=fixed][value*='{AHEAD}'])"
    )


def cell(form: Locator, flank: str, value: str) -> Locator:
    return form.locator(f"label:has(input[name={flank}_cells][value='{value}'])")


def ticked(form: Locator, flank: str) -> set[str]:
    values = form.locator(f"input[name={flank}_cells]:checked")
    return set(values.evaluate_all("(all) => all.map((one) => one.value)"))


def middle(place: Locator) -> tuple[float, float]:
    box = place.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def latest(job: str) -> dict[str, Any]:
    entry = DatabaseStore().read(job).entries[-1].entry
    assert entry.kind == "pattern-seen"
    return dict(entry.body)


def test_taps_and_a_drawn_stroke_are_recorded_and_drawn_over_what_is_expected(
    page: Page, address: str
) -> None:
    job = open_a_job(page, address)
    form = form_of(page, address, job)
    form.locator(".tooth").first.scroll_into_view_if_needed()
    page.mouse.move(*middle(cell(form, "drive", "4-3")))
    page.mouse.down()
    for value in ("5-3", "6-3", "6-2"):
        page.mouse.move(*middle(cell(form, "drive", value)), steps=5)
    page.mouse.up()
    assert ticked(form, "drive") == {"4-3", "5-3", "6-3", "6-2"}
    cell(form, "drive", "6-2").click()  # a second tap takes it back
    for value in ("5-2", "6-2", "6-3"):
        cell(form, "coast", value).click()
    assert ticked(form, "drive") == {"4-3", "5-3", "6-3"}
    form.get_by_role("button", name="Record").click()
    pattern = page.locator("#pattern")
    expect(pattern).to_contain_text("out to the heel")
    drawn = pattern.locator("figure").first.get_attribute("aria-label") or ""
    assert "wiped from 50 to 100 %" in drawn and "Drawn flanks in their place" in drawn
    assert pattern.locator("figure").first.locator("path[fill*='tapped']").count() == 6
    body = latest(job)
    assert set(body["drive_cells"]) == {"4-3", "5-3", "6-3"}
    assert set(body["coast_cells"]) == {"5-2", "6-2", "6-3"}
    assert body["grid"] == "6x4"


def test_a_stroke_that_comes_back_to_its_first_cell_keeps_it(page: Page, address: str) -> None:
    form = form_of(page, address, open_a_job(page, address))
    form.locator(".tooth").first.scroll_into_view_if_needed()
    page.mouse.move(*middle(cell(form, "drive", "3-2")))
    page.mouse.down()
    for value in ("4-2", "3-2"):
        page.mouse.move(*middle(cell(form, "drive", value)), steps=5)
    page.mouse.up()
    assert ticked(form, "drive") == {"3-2", "4-2"}
    page.keyboard.press("Tab")
    form.locator("input[name=drive_cells][value='5-2']").focus()
    page.keyboard.press("Space")
    assert ticked(form, "drive") == {"3-2", "4-2", "5-2"}


def test_the_tooth_is_ticked_by_keyboard_and_by_its_words(page: Page, address: str) -> None:
    form = form_of(page, address, open_a_job(page, address))
    drive = form.get_by_role("group", name="Drive flank of the gear")
    box = drive.get_by_role("checkbox", name="near the heel, at the top")
    box.focus()
    page.keyboard.press("Space")
    assert ticked(form, "drive") == {"5-4"}


def test_the_tooth_works_without_the_script(browser_without_script: Page, address: str) -> None:
    page = browser_without_script
    job = open_a_job(page, address)
    form = form_of(page, address, job)
    for value in ("3-2", "4-2"):
        cell(form, "drive", value).click()
    form.get_by_role("button", name="Record").click()
    assert latest(job)["drive_cells"] == ["3-2", "4-2"]


def test_a_refused_pattern_keeps_the_taps(page: Page, address: str) -> None:
    job = open_a_job(page, address)
    form = form_of(page, address, job)
    form.get_by_role("button", name="Record").click()  # nothing tapped
    trouble = page.get_by_role("alert")
    expect(trouble).to_contain_text("wiped cells of one flank")
    expect(trouble.locator("xpath=ancestor::details").first).to_have_attribute("open", "")


def test_a_middle_may_be_typed_instead(page: Page, address: str) -> None:
    job = open_a_job(page, address)
    form_of(page, address, job)
    page.get_by_text("Type the middles instead").first.click()
    form = page.locator(f"form:has(input[name=drive_along]):has(input[value*='{AHEAD}'])").first
    form.locator("input[name=drive_along]").fill("46")
    form.locator("input[name=drive_up]").fill("52")
    form.get_by_role("button", name="Record").click()
    expect(page.locator("#pattern")).to_contain_text("middle 46 ± 10 % from toe to heel")
    assert latest(job)["drive_along"] == "46"


@pytest.mark.parametrize("size", [TABLET, PHONE], ids=["tablet", "phone"])
def test_every_cell_is_big_enough_for_a_glove_and_the_tooth_is_to_scale_on_a_tablet(
    browser: Browser, address: str, size: dict[str, int]
) -> None:
    page = browser.new_page(viewport=size)  # type: ignore[arg-type]
    form = form_of(page, address, open_a_job(page, address))
    boxes = [box for one in form.locator(".cell").all() if (box := one.bounding_box())]
    assert len(boxes) == 48
    assert min(box["height"] for box in boxes) >= 47.5
    assert min(box["width"] for box in boxes) >= 47.5
    tooth = form.locator(".tooth").first.evaluate(
        "(one) => ({drawn: one.clientHeight / one.clientWidth, scale: one.style.aspectRatio})"
    )
    wide, tall = (float(part) for part in tooth["scale"].split("/"))
    off = tooth["drawn"] / (tall / wide)
    assert off == pytest.approx(1, rel=0.02) if size is TABLET else off > 1
    note = page.get_by_text("drawn taller than it is").first
    assert note.is_visible() == (size is PHONE)
    page.close()
