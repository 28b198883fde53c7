"""The page in a real browser, as people use it, beside the tasks of a bench: what must hold on every screen."""

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from vision.rendered import jpeg
from vision.scenes import found_in, half_covered, shots, small
from web.acting import LAPTOP, PHONE, SIZES, do, settled, until
from web.served import RING, query

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.slow
LISTED, NESTED = "a list", "a list on plates"
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
    for state in [*states, LISTED, *([NESTED] if size in (PHONE, LAPTOP) else [])]:
        if state in (LISTED, NESTED):
            page.goto(address)
            page.set_input_files("#open-file", SAMPLES / "plate-20-list.csv")
            page.locator(".job-rows").wait_for()
        else:
            page.goto(f"{address}?{state}")
        if state == NESTED:
            page.locator("button[value=nest]").click()
            page.locator(".sheets").wait_for(timeout=40_000)
        settled(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0], state
        low = page.locator(
            "button:visible, a.cure:visible, a.quiet:visible, .open label:visible, .box:visible, select:visible"
        ).evaluate_all(
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


@pytest.mark.parametrize("size", [PHONE, LAPTOP])
def test_a_press_on_a_photo_adds_a_hole_and_its_box_takes_it_back(
    page: "Page", address: str, tmp_path: Path, size: tuple[int, int]
) -> None:
    photos, middle = _photos_with_a_rag_on_a_hole(tmp_path)
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto(f"{address}photos")
    page.locator("#photo-files").set_input_files(photos)
    page.locator("#photo-holes").fill("8")
    page.locator("#photo-diameter").fill("15.4")
    page.get_by_role("button", name="Look for the holes").click()
    page.locator("#looked .why").wait_for(timeout=60_000)
    assert "7 of 8 are to be seen" in page.locator("#looked .why").inner_text()
    assert not page.locator("#added").is_visible()
    _press(page, 0.1, 0.1)
    _press(page, *middle)
    boxes = page.locator("#added input")
    assert boxes.count() == 2
    boxes.nth(0).uncheck()
    assert page.locator(".pressed").evaluate_all("all => all.map((mark) => mark.hidden)") == [True, False]
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    page.get_by_role("button", name="Look again").click()
    page.get_by_text("8 holes found").wait_for(timeout=60_000)
    assert page.locator("#added input").count() == 1
    page.get_by_role("link", name="Go on with these holes").click()
    assert page.url.startswith(f"{address}?")


def _photos_with_a_rag_on_a_hole(folder: Path) -> tuple[list[Path], tuple[float, float]]:
    """Three photos with a rag on hole 3, and how far across and down the first one its middle is."""
    found = found_in(small(), photos=shots())
    files = []
    for index, photo in enumerate(half_covered(shots(), found, 3), 1):
        files.append(folder / f"P{index}.jpg")
        files[-1].write_bytes(jpeg(photo, 95))
    x, y = dict(found.overlays[0].centers)[3]
    height, width = shots()[0].shape
    return files, (float(x) / width, float(y) / height)


def _press(page: "Page", across: float, down: float) -> None:
    picture = page.locator("img.photo").first
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    assert box is not None
    picture.click(position={"x": across * box["width"], "y": down * box["height"]})


def test_a_file_that_is_opened_asks_nothing_of_the_job(page: "Page", address: str) -> None:
    """The answer would come to the page of the list, and leave its files dead."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(address)
    page.set_input_files("#open-file", SAMPLES / "plate-20-list.csv")
    page.locator("#list .job-rows, #list .line").first.wait_for()
    settled(page)
    assert not [each for each in asked if "/live" in each]
