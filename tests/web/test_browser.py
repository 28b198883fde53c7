"""The page in a real browser, as people use it: the tasks of a bench, with acts and scrolls counted."""

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from web.acting import LAPTOP, PHONE, SIZES, do, settled, until
from web.served import RING, query

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.slow
SAMPLES = Path(__file__).parents[2] / "samples"


def test_what_makes_no_sense_is_told_in_its_own_words_when_the_hand_rests(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query(edit='plate.bore')}")
    field = page.locator("#plate-bore")
    for text, said in (("0", "greater than 0"), ("-8", "greater than 0"), ("abc", "not a length"), ("1e9", "")):
        field.fill("")
        field.press_sequentially(text)
        page.wait_for_timeout(250)
        assert page.locator("#plate-bore-note").inner_text() != said
        page.locator("#plate-bore-note.wrong").wait_for()
        assert said in page.locator("#plate-bore-note").inner_text()
    assert page.locator("#take-packet.cannot").is_visible()


def test_a_decimal_comma_is_a_point_and_is_read_back(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query({'step': 'measure', 'survey.hole_count': '8', 'n.from': '1', 'n.to': '2'})}")
    page.locator("#n-value").fill("91,7")
    settled(page)
    assert page.locator("#echo").inner_text() == "read as 91.70 mm"
    assert page.locator("#strip .value").inner_text() == "239.6"


def test_the_same_number_with_other_contents_asks_for_a_revision_without_a_folder_too(
    page: "Page", address: str
) -> None:
    page.goto(f"{address}?{query(job__number='Q-7', edit='plate.bore')}")
    with page.expect_download():
        page.locator("#take-packet").click()
    settled(page)
    page.locator("#plate-bore").fill("100")
    settled(page)
    page.locator("#take-packet", has_text="next revision").click()
    settled(page)
    assert "Q-7 · B" in page.locator("#bar").inner_text()


def test_chords_of_the_finished_part_are_read_beside_what_they_should_be(page: "Page", address: str) -> None:
    """240 sin 22.5 deg = 91.844; hole 5 sits 1 mm toward 6, so 4-5 reads long and 5-6 short."""
    page.goto(f"{address}?{query(step='drilled', tolerances__chord='0.5')}")
    assert "0 of" in page.locator("#strip").inner_text()
    neighbors = ("91.84", "91.84", "91.84", "92.9", "90.8", "91.84", "91.84", "91.84")
    for number, text in enumerate(neighbors, 1):
        page.locator(f"#d-{number}-{number % 8 + 1}").fill(text)
    settled(page)
    page.locator("#off-4-5.look", has_text="+1.06").wait_for()
    page.locator("#off-5-6.look", has_text="-1.04").wait_for()
    assert "Part does not pass" in page.locator("#strip").inner_text()
    assert "8 of " in page.locator("#strip").inner_text()
    page.locator("#d-4-5").fill("91.84")
    page.locator("#d-5-6").fill("91.84")
    settled(page)
    page.locator("#strip", has_text="Open").wait_for()


def test_the_zoom_is_kept_across_edits(page: "Page", address: str) -> None:
    page.set_viewport_size({"width": LAPTOP[0], "height": LAPTOP[1]})
    page.goto(f"{address}?{query(edit='plate.bore')}")
    settled(page)
    page.mouse.move(900, 400)
    page.mouse.wheel(0, -600)
    seen = page.locator(".flange").get_attribute("viewBox")
    page.locator("#plate-bore").fill("160")
    settled(page)
    assert page.locator(".flange").get_attribute("viewBox") == seen
    page.get_by_role("button", name="Fit").click()
    assert page.locator(".flange").get_attribute("viewBox") != seen


def test_a_keystroke_does_not_overtake_a_button(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query(edit='plate.bore')}")
    page.evaluate("""() => {
        window.bench.act('units:in');
        const field = document.getElementById('plate-bore');
        field.value = '171';
        field.dispatchEvent(new Event('input', {bubbles: true}));
    }""")
    until(page, "document.querySelector('input[name=units]').value", "in")
    assert page.input_value("#plate-bore") == "170.5 mm"


def test_everything_the_job_may_hold_is_found_and_kept(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query(set='plate')}")
    page.locator("#sought").fill("kerf")
    assert page.locator(".field:visible", has_text="Kerf").count() == 1
    page.locator("#sought").fill("")
    page.locator("#plate-outline").select_option("path")
    settled(page)
    do(page, "more:plate.path")
    until(page, "document.activeElement.id", "plate-path-1-x")
    page.keyboard.type("100")
    settled(page)
    assert "plate.path.1.x=100" in page.url
    page.keyboard.press("Escape")
    page.locator("#circles-list").wait_for()


@pytest.mark.parametrize("size", SIZES)
def test_every_screen_fits_with_targets_for_a_hand(page: "Page", address: str, size: tuple[int, int]) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    survey = {"survey.hole_count": "8", "n.value": "91.7", "n.from": "1", "n.to": "2"}
    states = ["", *(query({**RING, **survey, "step": step}) for step in
                    ("measure", "decide", "flange", "check", "take", "drilled")), query(set="plate")]  # fmt: skip
    for state in states:
        page.goto(f"{address}?{state}")
        settled(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], state
        low = page.locator("button:visible, .open label:visible, .box:visible, select:visible").evaluate_all(
            "all => all.filter(e => !e.closest('.unseen') && !e.classList.contains('unseen') "
            "&& e.getBoundingClientRect().height < 44).map(e => e.outerHTML.slice(0, 90))"
        )
        assert low == [], state


def test_nothing_jumps_while_one_writes(page: "Page", address: str) -> None:
    page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    page.goto(f"{address}?{query(edit='plate.outside_diameter')}")
    settled(page)
    page.evaluate("""() => { window.shifted = 0; new PerformanceObserver((list) => {
        for (const each of list.getEntries()) window.shifted += each.value; }).observe({type: 'layout-shift'}); }""")
    field = page.locator("#plate-outside_diameter")
    field.fill("")
    field.press_sequentially("300", delay=200)
    settled(page)
    page.wait_for_timeout(800)
    assert page.evaluate("window.shifted") < 0.02
