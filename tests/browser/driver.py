"""Types a job's entries into the pages as a person would: find the form, fill it, press its button."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator, Mapping
from typing import Any
from urllib.parse import urljoin

from playwright.sync_api import Locator, Page, TimeoutError

from casewright.job.entry import Entry, body_of
from casewright.voice.forms import pairs

# Rooms in which a kind of entry may be asked for, likeliest first.
ROOMS: Mapping[str, tuple[str, ...]] = {
    "complaint": ("takein",),
    "finding": ("takein", "cause", "inspect", "strip"),
    "reading": ("setup", "strip", "inspect", "takein", "proof"),
    "fasteners-counted": ("strip",),
    "step-done": ("strip",),
    "attempt": ("strip",),
    "lock-opened": ("strip", "order"),
    "pack-fitted": ("setup", "strip"),
    "sheet-added": ("strip", "inspect"),
    "limit-added": ("inspect", "setup"),
    "piece-known": ("setup", "handover", "order", "inspect"),
    "piece-placed": ("setup", "handover", "order", "inspect"),
    "shelf-counted": ("setup",),
    "sign-confirmed": ("setup",),
    "pattern-seen": ("setup",),
    "verdict": ("inspect", "strip"),
    "torque": ("proof",),
    "leak-log": ("proof", "takein"),
    "oil-filled": ("proof",),
    "oil-read": ("proof", "takein"),
    "anode-read": ("proof",),
    "function-tested": ("proof",),
    "remedy": ("cause",),
    "offers-imported": ("order",),
    "quoted": ("order",),
    "owner-said": ("order",),
    "ordered": ("order",),
    "received": ("order",),
    "parts-shelf": ("order",),
    "setting": ("strip", "order", "cause", "setup"),
    "instrument": ("inspect",),
    "note": ("takein", "strip"),
    "signed-off": ("handover",),
}


# What a page may leave out without changing what the entry says: remarks, and labels of its own.
ASIDE: Mapping[str, tuple[str, ...]] = {
    "reading": ("instrument", "words", "at", "conditions"),
    "finding": ("words", "position", "damage", "severity", "occasion"),
    "fasteners-counted": ("words",),
    "step-done": ("minutes", "words"),
    "attempt": ("minutes", "words"),
    "pack-fitted": ("words", "measured", "gone_by"),
    "anode-read": ("left", "occasion"),
    "instrument": ("name",),
    "sign-confirmed": ("says",),
    "quoted": ("likely", "one_in_ten", "ready_by", "choice", "currency", "stage", "snapshot"),
    "ordered": ("order", "lines", "returnable"),
    "received": ("words", "lines", "order"),
    "oil-read": ("occasion",),
    "leak-log": ("words",),
    "sheet-added": ("item", "because"),
    "verdict": ("rework",),
    "torque": ("places",),
    "shelf-counted": ("lines",),
}


def enter(page: Page, address: str, entry: Entry) -> str:
    """Record one entry through a page; returns the room in which its form was found."""
    kind, body = entry.kind, _plain(dict(entry.body))
    whole = body_of(entry).model_dump(mode="json")
    for fetched in (False, True):
        for room in dict.fromkeys(rooms_for(kind, body)):
            for link in _pages(page, f"{address}/{room}/", body, fetched):
                page.goto(link)
                form = _form(page, kind, body, whole)
                if form is not None:
                    _fill_and_send(page, form, body)
                    return room
    raise AssertionError(f"no page asks for {kind} with {dict(body)!r}")


def _pages(page: Page, address: str, body: Mapping[str, Any], fetched: bool) -> Iterator[str]:
    """The room as it opens, or those of its fetched forms that speak of what the entry is about."""
    if not fetched:
        yield address
        return
    names = [str(body[one]) for one in ("target", "feature", "key", "position") if body.get(one)]
    text = page.request.get(address).text()
    for href in dict.fromkeys(re.findall(r'class="go fetch"><a href="([^"#]*)', text)):
        link = urljoin(address, html.unescape(href))
        found = html.unescape(page.request.get(link).text())
        if not names or any(name in found for name in names):
            yield link


def rooms_for(kind: str, body: Mapping[str, Any]) -> tuple[str, ...]:
    """Where a person would look for this form first."""
    occasion = str(body.get("occasion", "as-found"))
    if kind == "reading":
        first = ("takein",) if occasion == "as-received" else ("inspect", "strip")
        return (
            *(("setup", "inspect") if occasion[:5] in ("trial", "final") else first),
            *ROOMS[kind],
        )
    if kind == "finding":
        seen = ("cause",) if body.get("key") else ("inspect", "strip")
        return (*(("takein",) if occasion == "as-received" else seen), *ROOMS[kind])
    if kind == "pack-fitted" and occasion == "as-found":
        return ("strip", "setup")
    if kind == "piece-placed" and occasion == "final":
        return ("proof", *ROOMS[kind])
    if kind == "leak-log" and occasion == "as-received":
        return ("takein", "proof")
    return ROOMS[kind]


def _form(
    page: Page, kind: str, body: Mapping[str, Any], whole: Mapping[str, Any]
) -> Locator | None:
    """The form of this kind whose fixed parts agree with the body and whose fields cover the rest."""
    best: tuple[int, Locator] | None = None
    forms = page.locator(f"form[data-outbox]:has(input[name=kind][value='{kind}'])")
    told: list[dict[str, Any]] = forms.evaluate_all(
        """(all) => all.map((form) => ({
            fixed: form.querySelector('input[name=fixed]').value,
            names: [...form.elements].filter((one) => one.name).map((one) => one.name),
            values: [...form.elements].filter((one) => one.name).map((one) => [one.name, one.value, one.type]),
        }))"""
    )
    for index, about in enumerate(told):
        fixed = json.loads(about["fixed"] or "{}")
        if fits(kind, about, body, whole):
            apart = bool(fixed.get("at")) and _plain(whole.get("at")) != fixed["at"]
            score = len(json.dumps(fixed)) + 100 * covered(about, fixed, body) - 1000 * apart
            if best is None or score > best[0]:
                best = (score, forms.nth(index))
    return best[1] if best else None


def _plain(value: Any) -> Any:
    return json.loads(json.dumps(value))


def fits(
    kind: str, about: Mapping[str, Any], body: Mapping[str, Any], whole: Mapping[str, Any]
) -> bool:
    """Whether a form says this entry: its fixed parts agree, its fields cover all but remarks."""
    aside = ASIDE.get(kind, ())
    fixed = {k: v for k, v in json.loads(about["fixed"] or "{}").items() if k not in aside}
    needed = {k: v for k, v in body.items() if k not in aside}
    agrees = all(_plain(whole.get(name)) == _plain(value) for name, value in fixed.items())
    return agrees and _covers(about, fixed, needed)


def covered(about: Mapping[str, Any], fixed: Mapping[str, Any], body: Mapping[str, Any]) -> int:
    """How many of the entry's parts the form has a place for."""
    return sum(1 for name in body if name in fixed or name in about["names"])


def _covers(about: Mapping[str, Any], fixed: Mapping[str, Any], body: Mapping[str, Any]) -> bool:
    """Whether every other part of the body has a field, and each choice offers the value."""
    choices = {(name, value) for name, value, _ in about["values"]}
    kinds = {name: type_ for name, _, type_ in about["values"]}
    for name, value in _fields(fixed, body):
        if name not in about["names"]:
            return False
        limited = ("radio", "submit", "hidden", "checkbox")
        if value != "true" and kinds[name] in limited and (name, value) not in choices:
            return False
    return True


def _fields(fixed: Mapping[str, Any], body: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Names and texts to type for what the form doesn't know already."""
    for name, value in body.items():
        if name not in fixed and value not in ("", None, [], {}, False):
            yield from pairs(name, value)


def _fill_and_send(page: Page, form: Locator, body: Mapping[str, Any]) -> None:
    """Open what hides the form, type each field, press the button (or the tap that answers)."""
    form.evaluate(
        "(one) => { for (let up = one; up; up = up.parentElement) if (up.tagName === 'DETAILS') up.open = true; }"
    )
    fixed = json.loads(form.locator("input[name=fixed]").input_value() or "{}")
    tap: Locator | None = None
    used: dict[str, int] = {}
    told = list(_fields(fixed, body))
    for name, text in told:
        fields = form.locator(f"[name='{name}']")
        if fields.count() == 0:
            continue  # a remark that this page doesn't ask for
        type_ = fields.first.evaluate("(one) => one.type")
        if type_ == "submit":
            tap = tap or _tap(form, name, {said for one, said in told if one == name})
        elif type_ == "radio" or (fields.count() > 1 and type_ == "checkbox"):
            form.locator(f"label:has(input[name='{name}'][value='{text}'])").click()
        elif type_ == "checkbox":
            _tick(form, name, text)
        elif type_ in ("select-one", "select-multiple"):
            fields.first.select_option(text)
        else:
            _type(fields, name, text, used)
    button = tap or form.locator("button[type=submit]").first
    try:
        with page.expect_event("load", timeout=15_000):
            button.click()
    except TimeoutError as error:
        said = page.locator("[role=alert]").all_inner_texts()
        raise AssertionError(f"not taken: {said} {dict(body)!r}") from error


def _tap(form: Locator, name: str, said: set[str]) -> Locator:
    """The button that says this; one button may say several conditions at once."""
    buttons = form.locator(f"button[name='{name}']")
    values = buttons.evaluate_all("(all) => all.map((one) => one.value)")
    held = [text in said or set(text.split(";")) <= said for text in values]
    assert any(held), (name, said, values)
    return buttons.nth(held.index(True))


def _tick(form: Locator, name: str, text: str) -> None:
    box = form.locator(f"input[name='{name}'][value='{text}']")
    (box if box.count() else form.locator(f"input[name='{name}']").first).check(force=True)


def _type(fields: Locator, name: str, text: str, used: dict[str, int]) -> None:
    """The next free box; past the last box, more readings go in behind a semicolon."""
    index = used.get(name, 0)
    used[name] = index + 1
    count = fields.count()
    if index < count:
        fields.nth(index).fill(text)
    else:
        last = fields.nth(count - 1)
        last.fill(f"{last.input_value()}; {text}")
