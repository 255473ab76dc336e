"""What is typed while the Wi-Fi is gone waits in the page and is sent once, later."""

from __future__ import annotations

from contextlib import suppress

from playwright.sync_api import Page, TimeoutError, expect

from casewright.shop.store import DatabaseStore


def open_a_job(page: Page, address: str) -> str:
    page.goto(f"{address}/")
    page.get_by_label("What shall the job be called").fill("Launch 4, starboard leg")
    page.get_by_label("Drive sheet").select_option("winkle-3")
    page.get_by_label("Your name or initials").fill("AB")
    page.get_by_role("button", name="Open the job").click()
    page.wait_for_url("**/job/**")
    (job,) = DatabaseStore().jobs()
    return job


def send_now(page: Page) -> None:
    """Touch the button, unless the page has sent by itself meanwhile, as it does when it can."""
    with suppress(TimeoutError):
        page.get_by_role("button", name="Send now").click(timeout=3000)


def test_an_entry_made_offline_is_sent_once_when_the_shop_answers(page: Page, address: str) -> None:
    job = open_a_job(page, address)
    page.goto(f"{address}/job/{job}/takein/")
    page.context.set_offline(True)
    page.get_by_label("Complaint, in the owner's words").fill("Milky oil after fouling a line")
    page.get_by_role("button", name="Record").first.click()
    expect(page.locator("#outbox")).to_contain_text("1 entry waits")
    assert len(DatabaseStore().read(job).entries) == 2
    page.context.set_offline(False)
    send_now(page)
    expect(page.locator("main")).to_contain_text("Milky oil after fouling a line")
    page.reload()
    entries = DatabaseStore().read(job).entries
    assert [one.entry.kind for one in entries] == ["job-opened", "sheet-adopted", "complaint"]


def test_a_mistake_keeps_all_that_was_typed_and_says_what_to_do(page: Page, address: str) -> None:
    job = open_a_job(page, address)
    page.goto(f"{address}/job/{job}/takein/")
    page.get_by_text("Take a reading as received").click()
    form = page.get_by_role("form", name="ahead lash")
    form.locator("input[name=values]").nth(0).fill("0.41 N")
    form.locator("input[name=values]").nth(1).fill("0.44")
    form.get_by_role("button", name="Record").click()
    trouble = page.get_by_role("alert")
    expect(trouble).to_contain_text("N is a unit of force")
    expect(
        page.get_by_role("form", name="ahead lash").locator("input[name=values]").nth(1)
    ).to_have_value("0.44")


def test_forms_work_without_the_script(browser_without_script: Page, address: str) -> None:
    page = browser_without_script
    job = open_a_job(page, address)
    page.goto(f"{address}/job/{job}/takein/")
    page.get_by_label("Complaint, in the owner's words").fill("Hums at 2000")
    page.get_by_role("button", name="Record").first.click()
    expect(page.locator("main")).to_contain_text("Hums at 2000")


def test_a_slip_of_unit_is_asked_about_and_taken_when_confirmed(page: Page, address: str) -> None:
    job = open_a_job(page, address)
    page.goto(f"{address}/job/{job}/takein/")
    page.get_by_text("Take a reading as received").click()
    form = page.get_by_role("form", name="ahead lash")
    form.locator("input[name=values]").nth(0).fill("0.018")
    form.get_by_role("button", name="Record").click()
    expect(page.get_by_role("alert")).to_contain_text("Is it 0.018 in?")
    page.get_by_text("It is right as typed").click()
    page.get_by_role("form", name="ahead lash").get_by_role("button", name="Record").click()
    expect(page.locator("#readings")).to_contain_text("0.018 mm")
