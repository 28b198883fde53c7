"""What the page gives and shows is of what stands in the fields, or it says that it is not, in a real browser."""

import re
from typing import TYPE_CHECKING

import pytest

from web.acting import settled, until, unzipped
from web.served import RING, program, query

if TYPE_CHECKING:
    from playwright.sync_api import Page, Route

SIZES = [(360, 780), (820, 1180), (1366, 768)]
DEAD = "[...document.querySelectorAll('[data-current]')].every(one => one.matches(':disabled'))"
LINKS = "document.querySelectorAll('[data-current] a[href]').length"
BAND = "document.getElementById('band-text').textContent"
TAKE = {**RING, "step": "take", "edit": ""}


def slowed(page: "Page", address: str, milliseconds: int) -> None:
    """Every answer about the fields comes late."""

    def late(route: "Route") -> None:
        page.wait_for_timeout(milliseconds)
        route.continue_()

    page.route(re.compile(r"/live"), late)


def in_view(page: "Page") -> bool:
    box = page.locator(".banner").bounding_box()
    size = page.viewport_size
    assert size is not None
    return box is not None and box["y"] >= 0 and box["y"] + box["height"] <= size["height"] and box["height"] > 20


@pytest.mark.slow
@pytest.mark.parametrize(("width", "height"), SIZES)
def test_while_an_answer_is_out_no_file_can_be_had_and_a_band_says_so(
    page: "Page", address: str, width: int, height: int
) -> None:
    page.set_viewport_size({"width": width, "height": height})
    page.goto(f"{address}?{query(job__number='OLD', set='plate')}")
    slowed(page, address, 2_000)
    page.fill("#plate-bore", "100")
    assert page.evaluate(DEAD)
    assert page.evaluate(LINKS) == 0
    page.wait_for_timeout(400)
    assert page.evaluate(DEAD)
    assert "of what stood in the fields before" in page.locator("#band-text").inner_text()
    assert in_view(page)
    until(page, BAND, "")
    page.unroute_all()
    page.evaluate("window.bench.act('step:take')")
    settled(page)
    assert page.locator(".view > *").first.evaluate("one => getComputedStyle(one).opacity") == "1"
    with page.expect_download() as caught:
        page.locator("#take-packet").click()
    assert caught.value.suggested_filename == "OLD-A.zip"
    assert b"bore = 100\n" in unzipped(caught.value)["OLD-A.toml"]


@pytest.mark.slow
@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_picture_is_dimmed_while_it_is_older(page: "Page", address: str, width: int, height: int) -> None:
    page.set_viewport_size({"width": width, "height": height})
    page.goto(f"{address}?{query(edit='plate.bore')}")
    slowed(page, address, 1_500)
    page.fill("#plate-bore", "100")
    page.wait_for_timeout(500)
    assert page.locator(".flange").evaluate("one => getComputedStyle(one).opacity") == "0.38"
    assert in_view(page)
    until(page, BAND, "")
    assert page.locator(".flange").evaluate("one => getComputedStyle(one).opacity") == "1"


@pytest.mark.slow
def test_a_file_that_a_change_has_overtaken_is_not_kept(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query(edit='plate.bore')}")
    page.set_viewport_size({"width": 1366, "height": 768})
    kept: list[str] = []
    page.on("download", lambda one: kept.append(one.suggested_filename))

    def late(route: "Route") -> None:
        page.fill("#plate-bore", "100")
        route.continue_()

    page.route(re.compile(r"/packet\.zip"), late)
    page.locator("#take-packet").click()
    until(page, "document.getElementById('said').textContent.includes('was not kept')", True)
    until(page, BAND, "")
    assert kept == []


@pytest.mark.slow
def test_a_file_that_takes_long_can_be_stopped(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query(TAKE)}")

    def late(route: "Route") -> None:
        page.wait_for_timeout(1_500)
        route.continue_()

    page.route(re.compile(r"/packet\.zip"), late)
    page.locator("#take-packet").click()
    page.locator("#stop").click()
    until(page, "document.body.dataset.older", "refused")
    assert page.locator("#band-text").inner_text() == "Stopped. No file was made."
    page.wait_for_timeout(1_600)  # until the late answer has come to nobody


@pytest.mark.slow
@pytest.mark.parametrize(("width", "height"), SIZES)
def test_when_the_program_has_stopped_nothing_old_can_be_had(page: "Page", width: int, height: int) -> None:
    page.set_viewport_size({"width": width, "height": height})
    with program() as running:
        page.goto(f"{running.address}?{query(set='plate')}")
        settled(page)
    page.fill("#plate-bore", "100")
    until(page, "document.body.dataset.older", "failed")
    assert "is flangelayout serve still running?" in page.locator("#band-text").inner_text()
    assert "no files until" in page.locator("#band-text").inner_text()
    assert in_view(page)
    assert page.evaluate(DEAD)
    assert page.evaluate(LINKS) == 0
    assert page.get_by_role("button", name="Try again").is_visible()


@pytest.mark.slow
def test_a_file_asked_of_a_program_that_has_stopped_leaves_the_page_and_says_so(page: "Page") -> None:
    with program() as running:
        page.goto(f"{running.address}?{query(TAKE)}")
        settled(page)
    page.get_by_role("button", name="The job file").click()
    until(page, "document.body.dataset.older", "refused")
    assert page.locator("#band-text").inner_text().endswith("No file was made.")
    assert "H-114" in page.locator("#bar").inner_text()


@pytest.mark.slow
@pytest.mark.parametrize("length", [30_000, 60_000])
def test_what_the_page_refuses_is_said_with_its_own_reason(page: "Page", address: str, length: int) -> None:
    page.goto(f"{address}?{query(set='job')}")
    page.fill("#job-title", "x" * length)
    until(page, "document.body.dataset.older", "failed")
    said = page.locator("#band-text").inner_text()
    assert "more than the 24000 that an address can carry" in said
    assert "still running" not in said
    assert page.evaluate(DEAD)
    page.fill("#job-title", "short")
    until(page, BAND, "")
    assert not page.evaluate(DEAD)


@pytest.mark.slow
def test_the_tab_is_called_as_the_job(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query(set='job')}")
    page.fill("#job-title", "Weir gate flange")
    until(page, "document.title", "H-114 A Weir gate flange · flangelayout")
