"""The fourteen tasks of a bench in a real browser, each with its acts counted against a limit and no wrong turn.

An act is a press, something written, or a file chosen; every one of them is on the straight way to the end of its task.
"""

import io
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from flangelayout.cli import run
from flangelayout.files.starters import starters
from web.acting import LAPTOP, PHONE, Hand, drawn_text, settled, until, unzipped
from web.served import RING, query

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.slow
SAMPLES = Path(__file__).parents[2] / "samples"


@pytest.fixture(autouse=True)
def last_job(jobs_folder: Path) -> None:
    """A job of the folder, whose number the next one follows."""
    (jobs_folder / "T-41-A.toml").write_text('[job]\nnumber = "T-41"\n', encoding="utf-8")


@pytest.mark.parametrize("size", [PHONE, LAPTOP])
def test_task_1_from_a_flange_in_the_hand_to_the_packet_of_the_command_line_in_six_acts(
    page: "Page", address: str, tmp_path: Path, size: tuple[int, int]
) -> None:
    """After the door: 91.7, 285, use, bore, thickness, take. The number follows the last job's."""
    hand = Hand.at(page, address, size)
    hand.deed("begin:hand")
    hand.acts = 0
    hand.write("91.7")
    assert page.locator("#strip .value").inner_text() == "239.6"
    hand.write("285")
    hand.press("#deed-next button.main")
    hand.write("170.5")
    hand.write("22")
    files = unzipped(hand.take())
    assert hand.acts == 6
    assert hand.scrolled <= 2 * size[1]
    (job,) = (name for name in files if name.endswith(".toml"))
    assert job == "T-42-A.toml"
    assert b'standard = "EN 1092-1 PN16 DN150"' in files[job]
    (tmp_path / job).write_bytes(files.pop(job))
    drawn = tmp_path / "drawn"
    assert run(["draw", str(tmp_path / job), "--into", str(drawn)]) == 0
    assert files == {path.name: path.read_bytes() for path in drawn.iterdir() if not path.name.startswith(".")}
    assert len(files) >= 8


def test_task_2_a_name_as_people_write_it_to_the_packet_in_six_acts(page: "Page", address: str) -> None:
    """ASME B16.5 (2020), table 7, class 150 NPS 6: 8 holes of 7/8 in on 9 1/2 in, outside 11 in."""
    hand = Hand.at(page, f"{address}?units=in", PHONE)
    hand.deed("begin:name")
    hand.fill("#find", '6" 150#')
    assert "9 1/2" in drawn_text(page)
    hand.deed("use:ASME B16.5 Class 150 NPS 6")
    assert page.locator("#strip .value").inner_text() == "9 1/2"
    hand.write("6-5/8")
    hand.write("1")
    files = unzipped(hand.take())
    assert hand.acts == 6
    assert any(name.endswith("_cut_in.dxf") for name in files)
    for text, name in (("dn150pn16", "EN 1092-1 PN16 DN150"), ("10k 150a", "JIS B 2220 10K 150A")):
        page.goto(f"{address}?{query({'step': 'name'})}")
        page.locator("#find").fill(text)
        page.get_by_role("button", name=f"Use {name}").first.wait_for()


def test_task_3_sizes_in_inches_and_fractions_stay_as_they_were_typed_in_seven_acts(page: "Page", address: str) -> None:
    hand = Hand.at(page, f"{address}?units=in")
    hand.deed("begin:sizes")
    for text in ("11 3/4", "8", "7/8", "13-1/2", "8-5/8", "1"):
        hand.write(text)
    assert hand.acts == 7
    assert page.evaluate("document.activeElement.id") == "take-packet"
    hand.deed("show:mm")
    assert "342.9" in drawn_text(page)  # 13.5 * 25.4
    hand.deed("show:in")
    assert "13 1/2" in drawn_text(page)
    assert "8-5/8" in page.url or "8-5%2F8" in page.url


def test_task_4_a_second_circle_takes_the_next_look_up_and_is_turned_in_five_acts(page: "Page", address: str) -> None:
    hand = Hand.at(page, f"{address}?{query({**RING, 'bolt_circle.1.standard': 'EN 1092-1 PN16 DN150'})}")
    hand.deed("more:bolt_circle")
    until(page, "document.activeElement.id", "find")
    hand.fill("#find", "dn125 pn16")
    hand.deed("use:EN 1092-1 PN16 DN125")
    assert "EN 1092-1 PN16 DN150" in page.locator("#bolt_circle-1").inner_text()
    assert "EN 1092-1 PN16 DN125" in page.locator("#bolt_circle-2").inner_text()
    hand.deed("step:check")
    assert "overlap by 5.00 mm" in page.locator(".lines").inner_text()
    assert page.locator(".flange .flag").count() >= 1
    hand.press(".lines .cure:has-text('Turn B 22.5°')")
    assert hand.acts == 5
    assert "overlap" not in page.locator(".lines").inner_text()
    assert page.locator(".lines .cure", has_text="Turn B").count() == 0


def test_task_5_two_tapped_holes_and_a_number_are_a_reading_in_seven_acts(browser: "Browser", address: str) -> None:
    context = browser.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, has_touch=True)
    page = context.new_page()
    hand = Hand.at(page, address, PHONE)
    hand.deed("begin:hand")
    hand.acts = 0
    hand.tap("[data-do='pick:1'] .touch")
    assert page.locator("#picked").inner_text() == "Hole 1"
    hand.tap("[data-do='pick:5'] .touch")
    assert page.locator("#picked").inner_text() == "Holes 1 and 5"
    for key in ("2", "4", "0"):
        hand.tap(f"[data-key='{key}']")
    assert page.locator("#strip .value").inner_text() == "240.0"
    hand.tap("button.add")
    assert page.locator(".flange [data-do='redo:1']").text_content() == "240 "
    assert "holes 1 and 5" in page.locator("#survey-reading-1").inner_text()
    assert hand.acts == 6
    hand.tap(".flange [data-do='redo:1'] .reach")
    assert page.locator("#n-value").input_value() == "240"
    assert hand.acts == 7
    context.close()


def test_task_6_what_makes_no_sense_is_told_where_it_stands_and_put_right_in_one_act(
    page: "Page", address: str
) -> None:
    hand = Hand.at(page, f"{address}?{query(edit='plate.bore')}")
    for text, said in (("0", "greater than 0"), ("-8", "greater than 0"), ("abc", "not a length"), ("1e9", "")):
        page.locator("#plate-bore").fill("")
        hand.fill("#plate-bore", text)
        page.locator("#plate-bore-note.wrong").wait_for()
        assert said in page.locator("#plate-bore-note").inner_text()
        assert page.locator("#take-packet.cannot").is_visible()
    hand.acts = 0
    hand.fill("#plate-bore", "91,7")
    assert hand.acts == 1
    assert page.locator("#echo").inner_text() == "read as 91.70 mm"
    assert page.locator("#take-packet.main").is_visible()


def test_task_7_back_forward_and_reload_keep_the_job_in_one_act_each(page: "Page", address: str) -> None:
    hand = Hand.at(page, f"{address}?{query(edit='bolt_circle.1.diameter')}")
    field = page.locator("#bolt_circle-1-diameter")
    for value in ("250", "255"):
        hand.fill("#bolt_circle-1-diameter", value)
        field.blur()
        until(page, f"location.search.includes('diameter={value}')", True)
    page.reload()
    assert field.input_value() == "255"
    for step, value in ((page.go_back, "250"), (page.go_back, "240"), (page.go_forward, "250")):
        step()
        until(page, "document.getElementById('bolt_circle-1-diameter').value", value)
        assert "H-114" in page.locator("#bar").inner_text()
    assert hand.acts == 2


def test_task_8_at_twice_the_size_the_way_is_the_same_and_nothing_runs_off(page: "Page", address: str) -> None:
    """WCAG 2.2, 1.4.4 and 1.4.10: 200 % of a laptop is half its width."""
    hand = Hand.at(page, address, (LAPTOP[0] // 2, LAPTOP[1] // 2))
    hand.deed("begin:hand")
    hand.acts = 0
    hand.write("91.7")
    hand.write("285")
    hand.press("#deed-next button.main")
    hand.write("170.5")
    hand.write("22")
    hand.take()
    assert hand.acts == 6
    assert page.evaluate("document.documentElement.scrollWidth") <= LAPTOP[0] // 2


def test_task_9_by_keyboard_alone_in_at_most_twenty_tabs(page: "Page", address: str) -> None:
    hand = Hand.at(page, address)
    tabs = 0

    def tab_to(wanted: str, key: str = "Tab") -> None:
        nonlocal tabs
        while not page.evaluate(wanted):
            page.keyboard.press(key)
            tabs += 1
            assert tabs <= 20

    tab_to("document.activeElement.matches(\"button[value='begin:hand']\")")
    page.keyboard.press("Enter")
    settled(page)
    hand.write("91.7")
    hand.write("285")
    tab_to("(document.activeElement.value || '').startsWith('use:')", "Shift+Tab")
    page.keyboard.press("Enter")
    settled(page)
    hand.write("170.5")
    hand.write("22")
    assert page.evaluate("document.activeElement.id") == "take-packet"
    assert hand.acts == 4


def test_task_10_a_job_a_sheet_and_a_list_are_opened_in_one_act_each(page: "Page", address: str) -> None:
    for path in (SAMPLES / "intake-adapter.toml", next(SAMPLES.glob("MB-102*sheet.pdf"))):
        hand = Hand.at(page, address)
        hand.choose(path)
        page.locator("#bar", has_text="MB-102").wait_for()
        assert hand.acts == 1
    hand = Hand.at(page, address)
    hand.choose(SAMPLES / "plate-20-list.csv")
    page.locator("#bar", has_text="6 can be made").wait_for()
    files = unzipped(hand.take())
    assert hand.acts == 2
    assert {name[:6] for name in files} == {f"MB-20{number}" for number in range(1, 7)}
    drop = """text => {
        const files = new DataTransfer();
        files.items.add(new File([text], 'wrong.toml'));
        document.body.dispatchEvent(new DragEvent('drop', {dataTransfer: files, bubbles: true, cancelable: true}));
    }"""
    page.goto(address)
    page.evaluate(drop, "plate = [")
    page.locator("#open-note.wrong").wait_for()
    assert "close the bracket" in page.locator("#open-note").inner_text()


def test_task_11_a_job_is_saved_and_revised_in_one_act_each(page: "Page", address: str, jobs_folder: Path) -> None:
    hand = Hand.at(page, f"{address}?{query(job__number='S-1', step='take')}")
    hand.press("button:has-text('Save in')")
    page.get_by_role("link", name="S-1").first.wait_for()
    assert hand.acts == 1
    assert (jobs_folder / "S-1-A_holes_mm.csv").exists()
    hand = Hand.at(page, f"{address}?{query(job__number='S-1', plate__bore='100')}")
    hand.press("#take-packet:has-text('Other contents: next revision')")
    assert "S-1 · B" in page.locator("#bar").inner_text()
    assert hand.acts == 1
    hand = Hand.at(page, address)
    hand.press(".jobs a:has-text('S-1')")
    page.locator("#bar", has_text="S-1 · A").wait_for()
    assert hand.acts == 1


def test_task_12_every_starter_is_a_packet_in_two_acts_and_an_outline_of_corners_is_written(
    page: "Page", address: str
) -> None:
    hand = Hand.at(page, address)
    hand.press("#begin-starters summary")
    assert page.locator("#begin-starters a").count() == len(starters())
    hand.press(f"#begin-starters a[href='/start/{next(iter(starters()))}']")
    page.locator("#bar").wait_for()
    assert hand.acts == 2
    assert page.locator("#take-packet:not(.cannot)").is_visible()
    hand = Hand.at(page, f"{address}?{query(set='plate')}")
    page.locator("#plate-outline").select_option("path")
    settled(page)
    hand.deed("more:plate.path")
    until(page, "document.activeElement.id", "plate-path-1-x")
    hand.fill("#plate-path-1-x", "100")
    assert "plate.path.1.x=100" in page.url
    assert hand.acts == 2


def test_task_13_a_print_is_one_card_marked_not_to_scale(page: "Page", address: str) -> None:
    """What a browser prints is scaled to its paper, so nothing on it may look like a template."""
    pypdf = pytest.importorskip("pypdf")
    standard = {"bolt_circle.1.standard": "EN 1092-1 PN16 DN150", "plate.outside_diameter": "285", "job.number": "P-1"}
    for view in ("flange", "template", "cut", "sheet"):
        hand = Hand.at(page, f"{address}?{query({**standard, 'view': view, 'step': 'take'})}")
        page.emulate_media(media="print")
        assert not page.locator(".sheets").is_visible()
        page.emulate_media(media=None)
        printed = pypdf.PdfReader(io.BytesIO(page.pdf(format="A4")))
        assert len(printed.pages) == 1
        said = " ".join(printed.pages[0].extract_text().split())
        assert "NOT TO SCALE" in said
        assert "240 mm from EN 1092-1 PN16 DN150" in said
        assert "Bore – not known" in said
        assert "100 %" not in said
        assert "full scale" not in said
        assert hand.acts == 0


def test_task_14_mate_finished_part_machine_and_nest_are_on_the_page(page: "Page", address: str) -> None:
    """240 sin 22.5 deg = 91.844; hole 5 sits 1 mm toward 6, so 4-5 reads long and 5-6 short."""
    hand = Hand.at(page, f"{address}?{query(bolt_circle__1__bolt='M20', tolerances__chord='0.5')}")
    assert page.locator("#mate p").count() == 0
    hand.fill("#bolt_circle-1-mates_with", "ASME B16.5 Class 150 NPS 6")
    assert "bolts pass through the mate" in page.locator("#mate").inner_text()
    hand.deed("step:drilled")
    assert hand.acts == 2
    for number, text in enumerate(("91.84", "91.84", "91.84", "92.9", "90.8", "91.84", "91.84", "91.84"), 1):
        hand.fill(f"#d-{number}-{number % 8 + 1}", text)
    page.locator("#off-4-5.look", has_text="+1.06").wait_for()
    page.locator("#off-5-6.look", has_text="-1.04").wait_for()
    assert "Part does not pass" in page.locator("#strip").inner_text()
    assert "part does not pass" in page.locator("#bar").inner_text()
    assert hand.acts == 10  # the mate, the step, eight chords
    hand.deed("view:machine")
    said = page.locator(".machine").inner_text()
    assert "Dividing head settings" in said
    assert "_" not in said
    hand = Hand.at(page, address)
    hand.choose(SAMPLES / "plate-20-list.csv")
    page.locator("button[value=nest]").wait_for()
    hand.press("button[value=nest]")
    page.locator(".sheets", has_text="REMNANT").wait_for(timeout=40_000)
    assert "21 parts on 1 plate" in page.locator("#list").inner_text()
    taken = unzipped(hand.take("button[formaction='/list/nest.zip']"))
    assert {"dxf", "pdf", "csv"} == {name.rpartition(".")[2] for name in taken}
    assert hand.acts == 3
