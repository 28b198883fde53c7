"""What stands on the page: the numbers and pictures of the command line, at the right places."""

import math
import re
import tomllib
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest

from flangelayout.errors import OutputError, Problem
from flangelayout.job import Job
from flangelayout.job.load import examine_job, job_from_text
from flangelayout.packet.job import Part, build_packet, layout_pages
from flangelayout.problems.survey import SurveyProblem
from flangelayout.survey import Kind, Reading, measure
from flangelayout.units import Unit
from flangelayout.views.words.findings import finding_text, tally_text
from flangelayout.web.content.field_notes import field_key, troubles
from flangelayout.web.content.files import archive, contents, headers_of, job_file, made_files, to_make
from flangelayout.web.content.lookup import looked_up
from flangelayout.web.content.page import Page
from flangelayout.web.content.picture.pages import drawn_pages, inline
from flangelayout.web.content.survey_of_state import measured
from flangelayout.web.form.address import read_address, write_address
from flangelayout.web.form.lengths import shown_text
from flangelayout.web.form.limits import CHECKED_HOLES, LIVE_HOLES, MADE_HOLES
from flangelayout.web.form.state import Picture, State
from flangelayout.web.serving.render import render
from rows import every_row
from web.served import Client, query

ROOT = Path(__file__).parents[3]
SAMPLES = [ROOT / "samples" / f"{name}.toml" for name in ("intake-adapter", "settling-tank-ring", "old-suction")]


def page(**fields: str) -> Page:
    return Page(read_address(query(**fields))[0])


def sample_page(path: Path) -> Page:
    return Page(read_address(write_address(State(data=tomllib.loads(path.read_text(encoding="utf-8")))))[0])


def sound(given: Page) -> Job:
    assert given.checked.job is not None, given.troubles
    return given.checked.job


@pytest.mark.slow
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_packet_is_the_command_lines_of_the_job_file_taken_with_it(path: Path) -> None:
    given, said = sample_page(path), list[str]()
    name, content = job_file(given.checked)
    drawn_from_file = job_from_text(content.decode(), name.removesuffix(".toml"))
    assert contents(made_files(to_make(given.checked), tuple(Part), said.append)) == build_packet(drawn_from_file)
    assert said[2] == "layout sheet (3 of 6)"


@every_row("path", SAMPLES)
def test_the_page_says_of_every_check_what_the_command_line_says(path: Path) -> None:
    given = sample_page(path)
    job, theirs = sound(given), examine_job(path)
    assert given.tally == tally_text(theirs.findings)
    told = [finding_text(theirs.flange, each, theirs.unit) for each in theirs.findings]
    shown = [finding_text(theirs.flange, finding, theirs.unit) for _, finding in given.listed if finding]
    shown += [check.partition(": ")[2] for check in given.other_checks]
    assert sorted(shown) == sorted(told)
    for line, finding in given.listed:
        assert finding is not None
        assert line.text.lower() in finding_text(theirs.flange, finding, theirs.unit).lower()
    assert job.findings == theirs.findings


def test_a_check_that_fails_is_called_so_on_the_page() -> None:
    data = tomllib.loads(SAMPLES[0].read_text(encoding="utf-8"))
    data["bolt_circle"][0]["bolt"] = "M30"  # through holes of 22 mm
    given = Page(read_address(write_address(State(data=data)))[0])
    assert given.failed >= 1
    assert f"{given.failed} failed" in given.tally
    assert any(line.css == "fix" and "M30, 30 mm thick" in line.text for line in given.items)


def test_template_and_cut_pictures_are_those_of_the_files() -> None:
    given = page()
    packet = build_packet(sound(given))
    for picture in (Picture.TEMPLATE, Picture.CUT):
        (drawn,) = drawn_pages(sound(given), picture)
        # A cutter's program sorts by the colors of the cut file; on the page it is black.
        document = re.sub(rb'stroke="#00f[0-9a-f]{3}"', b'stroke="#000000"', packet[f"H-114-A_{picture.value}_mm.svg"])
        assert drawn.lines == inline(document, f"{picture.value}1-")


def test_a_picture_keeps_everything_the_writer_drew() -> None:
    job = sound(page())
    for picture in (Picture.SHEET, Picture.TEMPLATE, Picture.CUT):
        pages = drawn_pages(job, picture)
        roots = [ElementTree.fromstring(f"<svg>{drawn.lines}</svg>") for drawn in pages]
        ids = [element.get("id") for root in roots for element in root.iter() if element.get("id")]
        assert len(ids) == len(set(ids))
        assert all(str(name).startswith(picture.value) for name in ids)
        assert sum(1 for _ in roots[0].iter("circle")) >= 10


def test_problems_stand_at_their_fields() -> None:
    given = page(plate__bore="x", bolt_circle__1__hole_count="3.5", bolt_circle__2__diameter="120")
    assert {"plate.bore", "bolt_circle.1.hole_count"} <= set(given.notes)
    assert given.notes["plate.bore"].css == "wrong"
    assert given.pages == ()
    live = render("live.html", page=given)
    assert 'data-for="plate-bore-note" class="wrong"' in live
    assert 'formaction="/packet.zip"' not in live


@every_row(
    ("where", "key"),
    [
        ("bolt_circle.diameter", "bolt_circle.1.diameter"),
        ("bolt_circle[2].diameter", "bolt_circle.2.diameter"),
        ("bolt_circle[2]", "bolt_circle.2"),
        ("hole.X1", "hole.1.X1"),
        ("job.notes[3]", "job.notes"),
        ("survey.reading[2].value", "survey.reading.2"),
        ("survey.reading[3].from", "n.from"),
        ("survey.reading[3]", "n.value"),
        ("plate.bore", "plate.bore"),
        ("", ""),
    ],
)
def test_every_place_of_a_job_file_has_its_field(where: str, key: str) -> None:
    assert field_key(where, taken=2) == key


def test_what_is_not_as_the_standard_stands_at_its_field() -> None:
    """EN 1092-1 PN16 DN150: 8 holes of 22 on 240 (maker's sheet of connecting dimensions)."""
    fields = {"plate__outside_diameter": "285", "bolt_circle__1__standard": "EN 1092-1 PN16 DN150"}
    given = page(**fields, bolt_circle__1__diameter="235", bolt_circle__1__hole_count="6")
    assert given.notes["bolt_circle.1.diameter"].text == "NOT AS EN 1092-1 PN16 DN150: bolt circle 235 (240)"
    assert given.notes["bolt_circle.1.hole_count"].text == "NOT AS EN 1092-1 PN16 DN150: 6 holes (8)"
    assert given.notes["bolt_circle.1.diameter"].css == "wrong"
    assert not any("NOT AS" in note.text for note in page(**fields).notes.values())


def test_a_new_page_asks_for_what_is_needed_and_finds_nothing_wrong() -> None:
    given = Page(State())
    assert [trouble.missing for trouble in given.troubles] == [True]
    assert given.unsound == "Still to be filled in: outside diameter."


def test_equal_problems_are_told_once_and_without_the_command_lines_words() -> None:
    twice = troubles([Problem("survey", SurveyProblem.NOTHING_SPANS)] * 2, State())
    (trouble,) = twice
    assert "--" not in trouble.text


def test_the_survey_is_that_of_the_command_line() -> None:
    given = page(survey__hole_count="8", n__value="91.7")
    expected = measure([Reading(Kind.CENTERS, 91.7)], 8)
    assert given.measured.survey is not None
    assert given.measured.survey.diameter == expected.diameter
    assert given.card is not None
    assert (given.card.circle, given.card.band) == ("239.62 mm", "± 1.42 mm")
    assert given.card.following is not None
    assert given.card.following.words == "outside diameter"


def test_a_survey_without_a_hole_count_takes_that_of_the_circle() -> None:
    assert measured(page(n__value="91.84").state).survey is not None


def test_a_suspect_reading_is_marked_in_list_and_picture() -> None:
    readings = {f"survey__reading__{n}__value": value for n, value in enumerate(("91.8", "91.9", "91.8", "69.8"), 1)}
    kinds = {f"survey__reading__{n}__kind": "same-edges" for n in range(1, 5)}
    pairs = {f"survey__reading__{n}__{end}": str(n + (end == "to")) for n in range(1, 5) for end in ("from", "to")}
    given = page(step="measure", survey__hole_count="8", survey__hole_diameter="22", **readings, **kinds, **pairs)
    assert [line.number for line in given.reading_lines() if line.suspect] == [4]
    assert [tag.lines for tag in given.picture.tags if tag.css == "look"] == [(("69.8", ""),)]


def test_looking_up_names_rows_nearest_rows_or_what_to_write() -> None:
    assert looked_up("dn150 pn16", Unit.MM).rows[0].designation == "EN 1092-1 PN16 DN150"
    assert looked_up("nps 8 class 150", Unit.IN).rows[0].drilling == "8 holes of 7/8 in on 11 3/4 in"
    assert "nearest" in looked_up("EN 1092-1 PN16 DN160", Unit.MM).said
    assert looked_up("", Unit.MM).said.startswith("Write a size")
    assert looked_up("150", Unit.MM).more > 0


def test_large_jobs_are_refused_with_the_reason_and_the_job_file_stays_to_be_had() -> None:
    sizes = {
        "plate__outside_diameter": "19000",
        "bolt_circle__1__diameter": "18500",
        "bolt_circle__1__hole_diameter": "4",
    }
    live = page(**sizes, bolt_circle__1__hole_count=str(LIVE_HOLES + 1), view="cut")
    assert live.slow.startswith(f"{LIVE_HOLES + 1} holes")
    assert len(live.picture.scene.holes) == LIVE_HOLES + 1
    asked = render("live.html", page=live)
    assert "Draw the cut" in asked
    assert "<figure" not in asked
    assert "<figure" in render("pane.html", page=live)
    made = page(**sizes, bolt_circle__1__hole_count=str(MADE_HOLES + 1))
    with pytest.raises(OutputError, match="flangelayout draw"):
        to_make(made.checked)
    unchecked = page(**sizes, **{f"bolt_circle__{n}__hole_count": str(CHECKED_HOLES) for n in (1, 2, 3)})
    assert unchecked.checked.job is None
    assert tomllib.loads(job_file(unchecked.checked)[1].decode())["plate"] == {
        "outside_diameter": 19000,
        "bore": 170.5,
        "thickness": 22,
    }


@every_row(
    "fields",
    [
        {"hole_grid__1__columns": "200", "hole_grid__1__rows": "200", "hole_grid__1__pitch": "1"},
        {"hole_rings__1__ring_count": "900", "hole_rings__1__ring_pitch": "1"},
        {f"hole_rectangle__1__{key}": "9000" for key in ("columns", "rows", "width", "height")},
        {"opening__1__count": "301", "opening__1__diameter": "2", "opening__1__radius": "90"},
        {f"bolt_circle__{number}__hole_count": "300" for number in range(1, 41)},
    ],
)
def test_patterns_that_ask_for_very_much_are_not_even_checked(fields: dict[str, str]) -> None:
    given = page(**fields)
    assert given.checked.job is None
    assert "more than this page checks" in given.troubles[0].text


def test_a_template_of_very_many_pages_is_left_to_the_command_line() -> None:
    wide = {"plate__outside_diameter": "19000", "template__margin": "60", "template__overlap": "40"}
    with pytest.raises(OutputError, match="choose a larger paper"):
        to_make(page(**wide).checked)


def test_lengths_are_shown_in_the_unit_asked_for() -> None:
    assert shown_text("298.45", Unit.MM, Unit.IN) == "11 3/4 in"
    assert shown_text("11 3/4", Unit.IN, Unit.MM) == "298.45 mm"
    assert shown_text("measured", Unit.MM, Unit.IN) == "measured"
    assert shown_text("240", Unit.MM, Unit.MM) == "240"


def test_a_download_keeps_its_name_and_the_archive_its_bytes() -> None:
    assert headers_of("Flansch-ü_cut.dxf")["content-disposition"] == (
        "attachment; filename=\"Flansch--_cut.dxf\"; filename*=UTF-8''Flansch-%C3%BC_cut.dxf"
    )
    assert archive({"a": b"1"}) == archive({"a": b"1"})


def test_the_sheet_picture_is_the_first_page_of_the_sheet() -> None:
    given = page(view="sheet")
    sheet = given.pages[0]
    paper = layout_pages(sound(given)).sheets[0].paper
    assert (float(sheet.width), float(sheet.height)) == (paper.width, paper.height)
    assert re.search(r">H-114<", sheet.lines)


def test_a_text_that_looks_like_markup_leaves_the_picture_whole() -> None:
    nasty = '</svg><g id="x" clip-path="url(#y)"> <title>t</title>'
    picture = page(job__title=nasty, view="sheet").pages[0]
    root = ElementTree.fromstring(f"<svg>{picture.lines}</svg>")
    assert any(element.text and '<g id="x"' in element.text for element in root.iter("text"))
    assert all(str(element.get("id", "sheet1-")).startswith("sheet1-") for element in root.iter())


def test_a_check_that_fails_stands_at_its_field_and_unfolds_it() -> None:
    given = page(bolt_circle__1__bolt="M24")  # through holes of 22 mm
    assert given.notes["bolt_circle.1.bolt"].css == "wrong"
    assert "M24, 24 mm thick, does not go through a hole of 22 mm" in given.notes["bolt_circle.1.bolt"].text
    assert "bolt_circle.1.bolt" in {line.key for line in given.items if line.css == "fix"}


def test_readings_against_what_is_drawn_are_told_at_the_circle() -> None:
    """Chords of 91.84 mm between neighbors of 8 holes are those of 240 mm (240 sin 22.5 deg), not of 241.3."""
    readings = {f"survey__reading__{n}__value": value for n, value in enumerate(("91.84", "91.83", "91.82"), 1)}
    readings |= {f"survey__reading__{n}__kind": "centers" for n in (1, 2, 3)}
    given = page(survey__hole_count="8", bolt_circle__1__diameter="241.3", **readings)
    assert given.failed == 1
    assert given.notes["bolt_circle.1.diameter"].css == "wrong"
    assert "drawn is 241.30 mm" in given.notes["bolt_circle.1.diameter"].text


def test_what_may_have_been_forgotten_is_said() -> None:
    assert page().unwritten == ()
    bare = Page(read_address(query({"plate.outside_diameter": "285"}))[0])
    assert bare.unwritten == (
        "no bore: it is a blind",
        "no thickness",
        "no holes",
        "no job number: the files are called job",
    )


def test_what_failed_is_told_first() -> None:
    given = page(bolt_circle__1__standard="EN 1092-1 PN16 DN150", bolt_circle__1__hole_count="6")
    order = [line.css for line in given.items]
    assert order == sorted(order)
    assert len(set(order)) == 2


@every_row(
    ("written", "told"),
    [
        ("", ()),
        ("ASME B16.5 Class 150 NPS 6", ("ASME B16.5 Class 150 NPS 6",)),
        ("old pump", ("EN 1092-1 PN16 DN150",)),
    ],
)
def test_nothing_is_said_of_a_mate_that_nobody_named_and_else_the_row_is_named(
    written: str, told: tuple[str, ...]
) -> None:
    named = {"bolt_circle__1__mates_with": written} if written else {}
    given = page(step="flange", bolt_circle__1__standard="EN 1092-1 PN16 DN150", bolt_circle__1__bolt="M20", **named)
    assert tuple(text.partition(",")[0] for _, text in given.mates) == told


def test_what_is_only_found_is_not_called_chosen() -> None:
    given = Page(read_address("units=mm&step=name&find=dn150")[0])
    assert (given.strip.mark, given.strip.settled) == ("unknown", False)
    assert f"{len(given.found.rows) + given.found.more} found" in given.strip.more


def test_readings_stay_in_sight_on_decide_while_one_of_them_is_wrong(asking: Client) -> None:
    survey = {"survey__hole_count": "8", "survey__reading__1__kind": "outside-diameter"}
    survey |= {"survey__reading__1__value": "285", "n__kind": "centers", "n__from": "1", "n__to": "2"}
    given = page(step="decide", n__value="abc", **survey)
    assert given.strip.words.startswith('This reading: "abc"')
    shown = asking.get(f"/?{given.address}").text
    assert "Nothing is read yet" not in shown
    assert 'id="survey-reading-1"' in shown


def test_a_threaded_circle_is_called_by_its_thread_and_the_face_it_is_made_from() -> None:
    threaded = {"bolt_circle.1.kind": "tapped", "bolt_circle.1.thread": "M20", "bolt_circle.1.depth": "15"}
    back = {"bolt_circle.1.worked_from": "back", "bolt_circle.1.hole_diameter": "", "plate.thickness": "30"}
    turned = {"turned.1.kind": "recess", "turned.1.diameter": "190", "turned.1.depth": "4"}
    drawn = page(**{**threaded, **back, **turned})
    assert sound(drawn).flange.bolt_circles[0].drilling.diameter == 17.5  # ISO 965: M20 x 2.5 is drilled 20 - 2.5
    said = [line for tag in drawn.picture.tags for line, _ in tag.lines]
    assert "8 × M20, back" in said
    assert not any("hole ?" in line for line in said)
    assert [(size.text, words) for size, words in drawn.circle_cards[0].sizes][2] == ("M20", "thread")
    assert ("hole", "M20", "written") in drawn.card_rows
    assert len(drawn.also_held) == 1
    assert "190" in drawn.also_held[0]


def test_the_contours_of_the_cut_file_are_those_that_are_cut() -> None:
    """A ring with 8 holes is cut along 10 contours: rim, bore and holes; holes that are only marked are none."""
    (cut, *_) = page().parts
    assert "10 contours" in cut.about
    (cut, *_) = page(bolt_circle__1__cut="center mark only").parts
    assert "2 contours" in cut.about


def test_labels_of_four_circles_and_a_small_bore_lie_clear_of_each_other() -> None:
    circles = ((270, 7, 10.2), (200, 9, 11), (150, 11, 9), (100, 6, 9))
    sizes = {"plate.outside_diameter": "300", "plate.bore": "60"}
    for row, circle in enumerate(circles, 1):
        keys = ("diameter", "hole_count", "hole_diameter")
        sizes |= {f"bolt_circle.{row}.{key}": str(size) for key, size in zip(keys, circle, strict=True)}
    tags = page(**sizes, step="flange").picture.tags
    assert len(tags) == 7
    for one, other in combinations(tags, 2):
        aside = 2 * abs(one.x - other.x) >= one.width + other.width
        assert aside or 2 * abs(one.y - other.y) >= one.height + other.height, (one.lines, other.lines)


def test_how_the_finished_part_stands_is_said_beside_the_drawing() -> None:
    chords = {"tolerances.chord": "0.5", "d.1-2": "91.9", "d.2-3": "93"}  # 240 sin 22.5 deg = 91.84
    for step in ("drilled", "flange"):
        drawn = page(**chords, step=step)
        assert (drawn.worst, drawn.part_stands) == ("ok", "part does not pass")
        bar = render("live.html", page=drawn)
        assert "drawing in order" in bar
        assert "part does not pass" in bar
    assert page().part_stands == ""


def test_a_part_of_two_circles_does_not_pass_by_the_first_and_no_chord_of_the_second_is_asked_of_it() -> None:
    """Chords of 240 mm across 8 holes, all as drawn: 240 sin(22.5 deg k)."""
    chords = {
        f"d.{one}-{other}": f"{240 * math.sin(math.pi * (other - one) / 8):.2f}"
        for one in range(1, 9)
        for other in range(one + 1, 9)
    }
    second = {"diameter": "200", "hole_count": "6", "hole_diameter": "9"}
    two = {f"bolt_circle.2.{key}": text for key, text in second.items()}
    first = {"bolt_circle.1.standard": "EN 1092-1 PN16 DN150"}
    assert page(**first, **chords, step="drilled").part_stands == "part passes"
    told = page(**first, **two, **chords, step="drilled")
    assert (told.part_stands, told.strip.words) == ("holes A pass", "Holes A pass")
    assert "Only holes A are read here, holes B are not" in render("live.html", page=told)
    opened = page(**{"tolerances.chord": "0.5"}, **two, **chords, step="drilled").drilled
    assert opened.told[-1].startswith("Measure next: same edge to same edge B1 - B4")
    assert opened.next_words == ""


def test_a_reading_of_the_rim_alone_says_nothing_of_a_circle_and_stands_on_the_picture() -> None:
    rim = {"survey.reading.1.kind": "outside-diameter", "survey.reading.1.value": "285", "plate.outside_diameter": ""}
    alone = page(**rim, step="measure", **{"bolt_circle.1.diameter": ""})
    assert alone.sizes.outside.text == "285"
    assert "best circle" not in render("live.html", page=alone)


def test_a_suspect_reading_is_told_once() -> None:
    """Three chords of one ring of 8, the second 1.6 too long: 240 sin 22.5 deg = 91.84, 240 sin 45 deg = 169.71."""
    rows = (("91.8", "1", "2"), ("93.4", "2", "3"), ("169.7", "1", "3"))
    fields = {"survey.hole_count": "8", "step": "measure"}
    for number, values in enumerate(rows, 1):
        fields |= {
            f"survey.reading.{number}.{key}": text for key, text in zip(("value", "from", "to"), values, strict=True)
        }
        fields[f"survey.reading.{number}.kind"] = "centers"
    said = render("live.html", page=page(**fields))
    assert said.count("Put right, the circle is") == 1
