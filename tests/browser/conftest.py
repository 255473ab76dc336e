"""A real browser on a real server. CI never goes without; elsewhere `go.py test` says it plainly."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

FLAGS = [
    "--no-sandbox",
    "--disable-quic",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
TABLET, PHONE = {"width": 820, "height": 1180}, {"width": 390, "height": 844}
# Django refuses its database inside playwright's event loop, though nothing here is async.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(__file__).parent in item.path.parents:
            item.add_marker("browser")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = os.environ.get("CASEWRIGHT_CHROMIUM") or "/usr/bin/chromium"
    with sync_playwright() as playwright:
        yield playwright.chromium.launch(executable_path=path, args=FLAGS)


@pytest.fixture
def address(transactional_db: Any) -> Iterator[str]:
    """The shop, served by waitress as `serve` does, on a free port."""
    from waitress import create_server

    from casewright.shop.wsgi import application

    server = create_server(application, host="127.0.0.1", port=0, threads=4)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.effective_port}"
    server.close()
    thread.join(timeout=5)


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport=TABLET, reduced_motion="reduce")
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    yield page
    context.close()
    assert not errors


@pytest.fixture
def browser_without_script(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(
        viewport=TABLET, java_script_enabled=False, reduced_motion="reduce"
    )
    yield context.new_page()
    context.close()
