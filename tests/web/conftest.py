"""One browser and one running page for all browser tests."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from web.served import BROWSER_ARGUMENTS, Client, browser_path, client, program

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page


@pytest.fixture
def asking() -> Iterator[Client]:
    """A client of a page in this process that has no jobs folder."""
    with client() as opened:
        yield opened


@pytest.fixture(scope="session")
def jobs_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("jobs")


@pytest.fixture(scope="session")
def address(jobs_folder: Path) -> Iterator[str]:
    with program("--jobs", str(jobs_folder)) as running:
        yield running.address


@pytest.fixture(scope="session")
def browser() -> "Iterator[Browser]":
    path = browser_path()
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=BROWSER_ARGUMENTS)
        yield started
        started.close()


@pytest.fixture(scope="session")
def context(browser: "Browser") -> "Iterator[BrowserContext]":
    opened = browser.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    opened.set_default_timeout(30_000)
    yield opened
    opened.close()


@pytest.fixture
def page(context: "BrowserContext") -> "Iterator[Page]":
    """A tab of the browser; a script error or a refused inline script fails the test."""
    opened = context.new_page()
    complaints: list[str] = []
    opened.on("pageerror", lambda error: complaints.append(str(error)))
    opened.on("console", lambda message: complaints.append(message.text) if message.type == "error" else None)
    yield opened
    opened.close()
    refusals = ("400", "414", "422", "ERR_CONNECTION", "htmx:error")  # tests that ask for them look at what is said
    assert [line for line in complaints if not any(each in line for each in refusals)] == []
