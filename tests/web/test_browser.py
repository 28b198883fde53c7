"""The page in a real browser, as people use it."""

import io
import time
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from flangelayout.cli import run
from web.served import query

if TYPE_CHECKING:
    from playwright.sync_api import Page


def until(page: "Page", script: str, wanted: object) -> None:
    """Wait until a script gives what is wanted; the page's policy lets no test put one into it."""
    deadline = time.monotonic() + 10
    while (found := _value(page, script)) != wanted:
        assert time.monotonic() < deadline, f"{script} is still {found!r}, not {wanted!r}"
        page.wait_for_timeout(15)


def _value(page: "Page", script: str) -> object:
    """What a script gives now; ``None`` while another page is being loaded."""
    from playwright.sync_api import Error

    try:
        return page.evaluate(script)
    except Error:
        return None


def settled(page: "Page") -> None:
    """Wait until nothing is asked of the page's program any more."""
    page.wait_for_load_state("networkidle")


def hole_centers(page: "Page", picture: str) -> list[str]:
    places = page.locator(f".picture-{picture} [data-hole]")
    found: list[str] = places.evaluate_all("all => all.map(one => one.dataset.x + ' ' + one.dataset.y)")
    return found


@pytest.mark.slow
def test_a_newcomer_gets_from_one_reading_to_the_packet_of_the_command_line(
    page: "Page", address: str, tmp_path: Path
) -> None:
    page.goto(address)
    page.fill("#survey-hole_count", "8")
    page.fill("#n-value", "91.7")
    page.locator("#card .value", has_text="239.62").wait_for()
    page.get_by_role("button", name="Use EN 1092-1 PN16 DN150").click()
    until(page, "document.getElementById('bolt_circle-1-standard').value", "EN 1092-1 PN16 DN150")
    page.fill("#plate-bore", "170.5")
    page.fill("#plate-thickness", "22")
    page.fill("#job-number", "H-114")
    page.locator("#tally").wait_for()
    settled(page)
    with page.expect_download() as caught:
        page.get_by_role("button", name="All files (zip)").click()
    with zipfile.ZipFile(io.BytesIO(Path(caught.value.path()).read_bytes())) as archive:
        archive.extractall(tmp_path / "page")
    drawn = tmp_path / "drawn"
    job = tmp_path / "page" / "H-114-A.toml"
    assert run(["draw", str(job), "--into", str(drawn)]) == 0
    made = {path.name: path.read_bytes() for path in (tmp_path / "page").iterdir() if path != job}
    assert made == {path.name: path.read_bytes() for path in drawn.iterdir() if not path.name.startswith(".")}
    assert "H-114-A_holes_mm.csv" in made
    assert len(made) >= 8


@pytest.mark.slow
def test_an_inch_job_by_designation_is_drawn_in_inches(page: "Page", address: str) -> None:
    page.goto(address)
    page.get_by_role("group", name="Unit of the job").get_by_role("button", name="in").click()
    until(page, "document.querySelector('input[name=units]').value", "in")
    page.locator("#way-standard").check(force=True)
    page.fill("#find", "nps 8 class 150")
    page.get_by_role("button", name="Use ASME B16.5 Class 150 NPS 8").click()
    until(page, "document.getElementById('bolt_circle-1-standard').value", "ASME B16.5 Class 150 NPS 8")
    page.fill("#plate-bore", "8 3/4")
    page.fill("#plate-thickness", '3/4"')
    page.locator("#tally").wait_for()
    assert "11 3/4" in page.locator(".picture-sheet svg").inner_html()
    assert page.locator("#bolt_circle-1-diameter-note").inner_text().startswith("11 3/4 in from ASME B16.5")


@pytest.mark.slow
def test_a_keystroke_does_not_overtake_a_button(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query()}")
    page.evaluate("""() => {
        document.querySelector('button[value="units:in"]').click();
        const field = document.getElementById('plate-bore');
        field.value = '171';
        field.dispatchEvent(new Event('input', {bubbles: true}));
    }""")
    until(page, "document.querySelector('input[name=units]').value", "in")
    assert page.input_value("#plate-bore") == "170.5 mm"


@pytest.mark.slow
def test_a_bad_value_is_told_at_its_field_and_the_last_drawing_stays(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query()}")
    page.fill("#bolt_circle-1-hole_diameter", "200")
    note = page.locator("#bolt_circle-1-hole_diameter-note.wrong")
    note.wait_for()
    assert "overlap by 108.16 mm" in note.inner_text()
    assert page.locator("#bolt_circle-1-hole_diameter").get_attribute("aria-invalid") == "true"
    assert "last job that could be drawn" in page.locator("#stale").inner_text()
    assert len(hole_centers(page, "sheet")) == 8
    page.fill("#bolt_circle-1-hole_diameter", "7/8 in")
    page.locator("#bolt_circle-1-hole_diameter-note.help").wait_for()


@pytest.mark.slow
def test_back_forward_and_reload_keep_the_job(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query()}")
    for value in ("250", "255"):
        page.fill("#bolt_circle-1-diameter", value)
        page.locator("#bolt_circle-1-diameter").blur()
        until(page, f"location.search.includes('diameter={value}')", True)
    page.reload()
    assert page.input_value("#bolt_circle-1-diameter") == "255"
    for step, value in ((page.go_back, "250"), (page.go_back, "240"), (page.go_forward, "250")):
        step()
        until(page, "document.getElementById('bolt_circle-1-diameter').value", value)
        assert page.input_value("#job-number") == "H-114"


@pytest.mark.slow
def test_two_touched_holes_choose_the_pair_and_the_reading_is_drawn(page: "Page", address: str) -> None:
    page.goto(address)
    page.fill("#survey-hole_count", "6")
    page.locator("#tap-6").wait_for()
    until(page, "document.querySelectorAll('[data-tap]').length", 6)
    page.locator("#tap-1").click()
    page.locator("#tap-1[aria-pressed=true]").wait_for()
    page.locator("#tap-4").click()
    until(page, "document.activeElement.id", "n-value")
    assert (page.input_value("#n-from"), page.input_value("#n-to")) == ("1", "4")
    page.keyboard.type("200")
    page.locator(".pattern .mark.draft").wait_for()
    page.keyboard.press("Enter")
    page.locator("#survey-reading-1").wait_for()
    assert "holes 1 and 4" in page.locator("#survey-reading-1").inner_text()
    assert page.locator("#card .value").inner_text() == "200.00 mm"
    assert page.input_value("#n-value") == ""


@pytest.mark.slow
def test_holes_tell_about_themselves_to_mouse_touch_and_keys(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query()}")
    said = page.locator("#readout")
    page.locator(".picture-sheet [data-hole='3']").hover()
    assert said.inner_text() == "Hole 3: 202.5°, X -110.87, Y -45.92 mm, to hole 4 91.84 mm"
    page.locator(".picture-sheet [data-hole='1']").focus()
    page.keyboard.press("ArrowRight")
    assert said.inner_text().startswith("Hole 2: 157.5°")
    page.locator(".picture-sheet a[data-field='plate-outside_diameter']").click()
    assert page.evaluate("document.activeElement.id") == "plate-outside_diameter"


@pytest.mark.slow
def test_a_job_file_dropped_on_the_page_is_opened_and_a_wrong_one_refused_in_words(page: "Page", address: str) -> None:
    sample = Path(__file__).parents[2] / "samples" / "intake-adapter.toml"
    page.goto(address)
    page.set_input_files("#open-file", sample)
    until(page, "document.getElementById('job-number').value", "MB-102")
    assert page.locator("[id^=bolt_circle-2-]").count() > 0
    drop = """text => {
        const files = new DataTransfer();
        files.items.add(new File([text], 'wrong.toml'));
        document.body.dispatchEvent(new DragEvent('drop', {dataTransfer: files, bubbles: true, cancelable: true}));
    }"""
    page.evaluate(drop, "plate = [")
    page.locator("#open-note.wrong").wait_for()
    assert "close the bracket" in page.locator("#open-note").inner_text()


@pytest.mark.slow
def test_a_job_is_saved_in_the_jobs_folder_and_opened_from_it(page: "Page", address: str, jobs_folder: Path) -> None:
    page.goto(f"{address}?{query(job__number='S-1')}")
    page.get_by_role("button", name="Save job and files").click()
    page.get_by_role("link", name="S-1-A.toml").click()
    until(page, "document.getElementById('job-number').value", "S-1")
    assert (jobs_folder / "S-1-A_holes_mm.csv").exists()


@pytest.mark.slow
@pytest.mark.parametrize(("width", "height"), [(360, 780), (820, 1180), (1920, 1080)])
def test_the_page_fits_phone_tablet_and_screen_with_targets_for_a_hand(
    page: "Page", address: str, width: int, height: int
) -> None:
    page.set_viewport_size({"width": width, "height": height})
    page.goto(f"{address}?{query(n__value='91.7')}")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.locator(
        "button:visible, .button:visible, input:not([type=radio], [type=checkbox]):visible, select:visible"
    )
    heights = small.evaluate_all(
        "all => all.filter(e => !e.closest('.unseen') && e.className !== 'unseen')"
        ".map(e => e.getBoundingClientRect().height)"
    )
    assert len(heights) > 20
    assert min(heights) >= 44
