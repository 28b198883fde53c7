"""The page in a real browser, as people use it: the tasks of a bench, with acts and scrolls counted."""

import io
import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from flangelayout.cli import run
from web.acting import LAPTOP, PHONE, SIZES, Hand, do, drawn_text, settled, until
from web.served import RING, query

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Download, Page

pytestmark = pytest.mark.slow
SAMPLES = Path(__file__).parents[2] / "samples"


def unzipped(caught: "Download", into: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(Path(caught.path()).read_bytes())) as archive:
        archive.extractall(into)
    return {path.name: path.read_bytes() for path in into.iterdir()}


@pytest.mark.parametrize("size", [PHONE, LAPTOP])
def test_from_a_flange_in_the_hand_to_the_packet_of_the_command_line_in_six_acts(
    page: "Page", address: str, jobs_folder: Path, tmp_path: Path, size: tuple[int, int]
) -> None:
    """After the door: 91.7, 285, use, bore, thickness, take. The number follows the last job's."""
    (jobs_folder / "T-41-A.toml").write_text('[job]\nnumber = "T-41"\n', encoding="utf-8")
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto(address)
    hand = Hand(page)
    hand.press("button[value='begin:hand']")
    hand.acts = 0
    hand.write("91.7")
    assert page.locator("#strip .value").inner_text() == "239.6"
    hand.write("285")
    hand.press("#deed-next button.main")
    hand.write("170.5")
    hand.write("22")
    with page.expect_download() as caught:
        page.locator("#take-packet").click()
    hand.acts += 1
    assert hand.acts == 6
    assert hand.scrolled <= 2 * size[1]
    files = unzipped(caught.value, tmp_path / "page")
    (job,) = (name for name in files if name.endswith(".toml"))
    assert job == "T-42-A.toml"
    assert b'standard = "EN 1092-1 PN16 DN150"' in files[job]
    drawn = tmp_path / "drawn"
    assert run(["draw", str(tmp_path / "page" / job), "--into", str(drawn)]) == 0
    made = {name: content for name, content in files.items() if name != job}
    assert made == {path.name: path.read_bytes() for path in drawn.iterdir() if not path.name.startswith(".")}
    assert len(made) >= 8


def test_the_same_by_keyboard_alone_takes_at_most_twenty_tabs(page: "Page", address: str) -> None:
    page.set_viewport_size({"width": LAPTOP[0], "height": LAPTOP[1]})
    page.goto(address)
    tabs = 0

    def tab_to(selector: str) -> None:
        nonlocal tabs
        while not page.evaluate("wanted => document.activeElement.matches(wanted)", selector):
            page.keyboard.press("Tab")
            tabs += 1
            assert tabs <= 20

    tab_to("button[value='begin:hand']")
    page.keyboard.press("Enter")
    settled(page)
    hand = Hand(page)
    hand.write("91.7")
    hand.write("285")
    while not page.evaluate("(document.activeElement.value || '').startsWith('use:')"):
        page.keyboard.press("Shift+Tab")
        tabs += 1
        assert tabs <= 20
    page.keyboard.press("Enter")
    settled(page)
    hand.write("170.5")
    hand.write("22")
    assert page.evaluate("document.activeElement.id") == "take-packet"
    assert tabs <= 20


def test_a_name_as_people_write_it_is_found_and_used(page: "Page", address: str) -> None:
    page.goto(f"{address}?units=in")
    do(page, "begin:name")
    until(page, "document.activeElement.id", "find")
    page.keyboard.type('6" 150#')
    page.locator("#found li", has_text="ASME B16.5 Class 150 NPS 6").first.wait_for()
    settled(page)
    assert "9 1/2" in drawn_text(page)
    page.get_by_role("button", name="Use ASME B16.5 Class 150 NPS 6").click()
    settled(page)
    assert page.locator("#strip .value").inner_text() == "9 1/2"
    assert page.evaluate("document.activeElement.id") == "plate-bore"


def test_inches_in_fractions_stay_as_they_were_typed(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query({'units': 'in', 'step': 'flange', 'edit': 'plate.outside_diameter'})}")
    page.locator("#plate-outside_diameter").fill("13-1/2")
    settled(page)
    do(page, "done")
    assert "13-1/2" in page.url or "13-1%2F2" in page.url
    do(page, "show:mm")
    assert "342.9" in drawn_text(page)
    do(page, "show:in")
    assert "13 1/2" in drawn_text(page)


def test_a_second_circle_takes_the_next_look_up_and_turns_with_one_press(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query({**RING, 'bolt_circle.1.standard': 'EN 1092-1 PN16 DN150'})}")
    do(page, "more:bolt_circle")
    until(page, "document.activeElement.id", "find")
    page.keyboard.type("dn125 pn16")
    page.locator("#found li").first.wait_for()
    settled(page)
    page.get_by_role("button", name="Use EN 1092-1 PN16 DN125").click()
    settled(page)
    assert "EN 1092-1 PN16 DN150" in page.locator("#bolt_circle-1").inner_text()
    assert "EN 1092-1 PN16 DN125" in page.locator("#bolt_circle-2").inner_text()
    do(page, "step:check")
    turn = page.locator(".lines .cure", has_text="Turn B 22.5°").first
    turn.wait_for()
    assert page.locator(".flange .flag").count() >= 1
    assert "overlap by 5.00 mm" in page.locator(".lines").inner_text()
    turn.click()
    settled(page)
    assert "overlap" not in page.locator(".lines").inner_text()
    assert page.locator(".lines .cure", has_text="Turn B").count() == 0


def test_two_tapped_holes_choose_the_pair_and_the_reading_stands_where_the_jaws_sat(
    browser: "Browser", address: str
) -> None:
    context = browser.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, has_touch=True)
    page = context.new_page()
    page.goto(address)
    do(page, "begin:hand")
    page.locator("[data-do='pick:1'] .touch").tap()
    settled(page)
    assert page.locator("#picked").inner_text() == "Hole 1"
    page.locator("[data-do='pick:5'] .touch").tap()
    settled(page)
    assert page.locator("#picked").inner_text() == "Holes 1 and 5"
    for key in ("2", "4", "0"):
        page.locator(f"[data-key='{key}']").tap()
    settled(page)
    assert page.locator("#strip .value").inner_text() == "240.0"
    page.locator("button.add").tap()
    settled(page)
    assert page.locator(".flange [data-do='redo:1']").text_content() == "240 "
    assert "holes 1 and 5" in page.locator("#survey-reading-1").inner_text()
    context.close()


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


def test_back_forward_and_reload_keep_the_job(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query(edit='bolt_circle.1.diameter')}")
    field = page.locator("#bolt_circle-1-diameter")
    for value in ("250", "255"):
        field.fill(value)
        field.blur()
        until(page, f"location.search.includes('diameter={value}')", True)
    page.reload()
    assert field.input_value() == "255"
    for step, value in ((page.go_back, "250"), (page.go_back, "240"), (page.go_forward, "250")):
        step()
        until(page, "document.getElementById('bolt_circle-1-diameter').value", value)
        assert "H-114" in page.locator("#bar").inner_text()


def test_a_job_file_and_a_sheet_are_opened_by_the_picker_and_a_wrong_one_refused_in_words(
    page: "Page", address: str
) -> None:
    page.goto(address)
    page.set_input_files("#open-file", SAMPLES / "intake-adapter.toml")
    page.locator("#bar", has_text="MB-102").wait_for()
    page.goto(address)
    page.set_input_files("#open-file", next(SAMPLES.glob("MB-102*sheet.pdf")))
    page.locator("#bar", has_text="MB-102").wait_for()
    page.goto(address)
    drop = """text => {
        const files = new DataTransfer();
        files.items.add(new File([text], 'wrong.toml'));
        document.body.dispatchEvent(new DragEvent('drop', {dataTransfer: files, bubbles: true, cancelable: true}));
    }"""
    page.evaluate(drop, "plate = [")
    page.locator("#open-note.wrong").wait_for()
    assert "close the bracket" in page.locator("#open-note").inner_text()


def test_a_job_is_saved_revised_and_opened_from_the_jobs_folder(page: "Page", address: str, jobs_folder: Path) -> None:
    page.goto(f"{address}?{query(job__number='S-1', step='take')}")
    page.get_by_role("button", name="Save in").click()
    page.get_by_role("link", name="S-1 · A").or_(page.get_by_role("link", name="S-1")).first.wait_for()
    assert (jobs_folder / "S-1-A_holes_mm.csv").exists()
    page.goto(f"{address}?{query(job__number='S-1', plate__bore='100')}")
    page.locator("#take-packet", has_text="Save as the next revision").click()
    settled(page)
    assert "S-1 · B" in page.locator("#bar").inner_text()
    page.goto(address)
    page.get_by_role("link", name="S-1").first.click()
    page.locator("#bar", has_text="S-1 · A").wait_for()


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


def test_the_mate_is_named_on_the_page_and_the_answer_stands_beside_it(page: "Page", address: str) -> None:
    page.goto(f"{address}?{query(bolt_circle__1__bolt='M20')}")
    page.locator("#bolt_circle-1-mates_with").fill("ASME B16.5 Class 150 NPS 6")
    settled(page)
    page.locator("#mate p").first.wait_for()
    assert "bolts pass through the mate" in page.locator("#mate").inner_text()


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
