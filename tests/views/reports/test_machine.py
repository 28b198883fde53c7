"""Pages of machine settings: figures against the places of the holes, large enough, on the page, clocking told."""

import math
import re
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import Any

import pytest
import shapely

from flangelayout.cli import run
from flangelayout.drawing.explode import items_box
from flangelayout.drawing.model import Label, Sheet, SheetSet
from flangelayout.drawing.references import HoleRef
from flangelayout.drawing.textwidth import label_box
from flangelayout.files.starters import starters
from flangelayout.flange.cutting import MachineFile
from flangelayout.geometry.shapes import Circle, Line, Point
from flangelayout.job import Job
from flangelayout.job.load import job_from_text
from flangelayout.packet.job import Part, build_packet
from flangelayout.packet.names import stamp_of
from flangelayout.value import replace
from flangelayout.views.reports.machine import SettingRequest, setting_sheets
from jobs import job_data, make_job, toml_text
from readers import pdf_pages_text
from rows import every_row
from views.sheet_reader import read_page

CIRCLES: list[dict[str, Any]] = [
    {"diameter": 295, "hole_count": 8, "hole_diameter": 22},
    {"diameter": 180, "hole_count": 8, "hole_diameter": 14, "start_angle": 22.5},
]
PLATE = {"outside_diameter": 340, "bore": 100}
BIG = 5.0


def clocked(**more: Any) -> Job:  # noqa: ANN401 # what a job file may hold
    return make_job(plate=PLATE, bolt_circle=CIRCLES, **more)


def sheets(job: Job, *kinds: MachineFile) -> SheetSet:
    settings = job.machine
    about = settings.head, settings.table_ratio, settings.drilling
    return setting_sheets(SettingRequest(job.flange, job.info, stamp_of(job), job.sheet.paper, *about, kinds))


def labels(pages: SheetSet) -> list[Label]:
    return [item.what for sheet in pages.sheets for item in sheet.furniture if isinstance(item.what, Label)]


def rows(pages: SheetSet, figures: int = 1) -> Iterator[tuple[str, list[str]]]:
    """The label of each line of the lists, and its large figures."""
    found = labels(pages)
    for index, label in enumerate(found):
        big = [each.text for each in found[index + 1 : index + 1 + figures] if each.height_paper >= BIG]
        if label.height_paper == 3.5 and len(big) == figures and found[index + 1].at.y == label.at.y:
            yield label.text, big


def turned(job: Job) -> dict[str, float]:
    """Degrees from the first hole to every other, counter-clockwise, by the places of the holes."""
    angles = {hole.label: math.degrees(math.atan2(hole.center.y, hole.center.x)) for hole in job.flange.holes()}
    first = next(iter(angles.values()))
    return {label: (angle - first) % 360 for label, angle in angles.items()}


def test_turns_and_spaces_come_to_every_hole_of_both_circles() -> None:
    job = clocked()
    pages = sheets(job, MachineFile.DIVIDING)
    circle = next(int(text.removesuffix(" holes")) for text in (each.text for each in labels(pages)) if "holes" in text)
    found = dict(rows(pages))
    assert len(found) == 16
    for label, (figure,) in found.items():
        turns, spaces = map(int, figure.split(" + "))
        assert 0 <= spaces < circle
        # One turn of the crank of a 40:1 head turns the work by 9 degrees.
        assert (turns + spaces / circle) * 9 == pytest.approx(turned(job)[label], abs=1e-9)


def test_the_rotary_table_comes_to_every_hole_within_half_a_second() -> None:
    circle = {"diameter": 240, "hole_count": 7, "hole_diameter": 22}
    job = make_job(plate=PLATE, bolt_circle=[circle])
    found = dict(rows(sheets(job, MachineFile.ROTARY)))
    assert len(found) == 7
    for label, (figure,) in found.items():
        degrees, minutes, seconds = map(int, re.findall(r"\d+", figure))
        assert degrees + minutes / 60 + seconds / 3600 == pytest.approx(turned(job)[label], abs=0.51 / 3600)


def test_readout_figures_are_the_places_of_the_holes() -> None:
    job = clocked()
    found = dict(rows(sheets(job, MachineFile.READOUT), figures=2))
    for hole in job.flange.holes():
        assert [float(each) for each in found[hole.label]] == pytest.approx([hole.center.x, hole.center.y], abs=0.00051)


def test_the_title_of_a_list_that_goes_on_keeps_off_what_is_set_once_for_it() -> None:
    sizes = ((2860, 72, 26), (2680, 48, 10.2))
    rings = [{"diameter": across, "hole_count": count, "hole_diameter": wide} for across, count, wide in sizes]
    job = make_job(plate={"outside_diameter": 3000, "bore": 2600}, bolt_circle=rings, sheet={"paper": "A3"})
    found, seen = labels(sheets(job, MachineFile.DIVIDING)), 0
    for title in (label for label in found if label.text.endswith(", continued")):
        boxes = [label_box(label) for label in found if label.at.y == title.at.y]
        right = label_box(title).right
        fixed = min((box for box in boxes if box.left > label_box(title).left), key=lambda box: box.left)
        assert fixed.left - right > 2.0
        seen += 1
    assert seen


def test_what_stands_between_two_circles_is_told() -> None:
    words = " ".join(each.text for each in labels(sheets(clocked(), MachineFile.DIVIDING)))
    assert "from A1 on to B1 2 + 8 = 22.5°" in words
    assert "After A8 on 5 + 0: the pin in hole 0 proves the count. Then X 90.00, and on 2 + 8 to B1." in words
    # B8 is 337.5 degrees on: 37.5 turns of the 40, so 2 and a half lead back, of 16 spaces 8.
    assert "After B8 on 2 + 8: the pin in hole 0 proves the count." in words


@every_row("kind", [MachineFile.DIVIDING, MachineFile.ROTARY])
def test_holes_of_the_picture_that_no_list_of_a_page_sets_are_left_to_where_they_are_set(kind: MachineFile) -> None:
    alone = [{"x": x, "y": 0, "diameter": 10} for x in (-110, 60, 110)]
    rectangle = {"width": 120, "height": 120, "hole_diameter": 9}
    circle, other = CIRCLES[0] | {"hole_count": 9}, CIRCLES[1] | {"hole_count": 11}
    job = make_job(plate=PLATE, bolt_circle=[circle], hole_rectangle=[rectangle], hole=alone)
    assert "Leave B1 TO B4, X1 TO X3 to the readout: set by X and Y" in words_of(job, kind)
    assert "Leave" not in words_of(job, MachineFile.READOUT)
    # No hole circle of the head serves 9 and 11 holes together: each circle has its page there.
    apart = words_of(make_job(plate=PLATE, bolt_circle=[circle, other]), kind)
    for lead in ("A1 TO A9", "B1 TO B11"):
        assert (f"Leave {lead} to the page with a zero of its own" in apart) is (kind is MachineFile.DIVIDING)


def test_a_circle_with_a_zero_of_its_own_says_where_that_stands() -> None:
    circles = [CIRCLES[0] | {"hole_count": 9}, CIRCLES[1] | {"hole_count": 11}]
    job = make_job(plate=PLATE, bolt_circle=circles)
    # Holes 1 stand beside the top, A1 at 90 + 360 / 18 = 110 degrees, B1 at 22.5 degrees from 3 o'clock (start_angle).
    on = round(turned(job)["B1"], 3)
    found = sheets(job, MachineFile.DIVIDING)
    first, second = (" ".join(each.text for each in labels(SheetSet((page,), found.stamp))) for page in found.sheets)
    # What is locked cannot be moved to a mark: marked from X 0, Y 0, then moved and locked, then turned to the mark.
    steps = ("X 0, Y 0", f"Mark hole B1 by X and Y: {on:g}° on from A1", "and lock it", "Turn to hole B1")
    assert [second.find(step) for step in steps] == sorted(second.index(step) for step in steps)
    assert "Mark hole" not in first
    assert "Mark hole" not in words_of(clocked(), MachineFile.DIVIDING)


def test_a_part_of_a_ring_is_centered_by_its_rim_and_set_by_its_joints() -> None:
    job = job_from_text(starters()["segment-ring"].content.decode())
    for kind in (MachineFile.DIVIDING, MachineFile.ROTARY):
        assert "its rim runs true, the middle of the whole ring on the axis" in words_of(job, kind)
    readout = words_of(job, MachineFile.READOUT)
    assert "Find the middle of the ring by three places on its rim: X 0, Y 0" in readout
    assert "Set the part by its joints as drawn, TOP away from you" in readout


def test_steps_and_lists_do_not_run_into_each_other_however_many_steps_there_are() -> None:
    behind = {"kind": "tapped", "thread": "M16", "depth": 20, "worked_from": "back"}
    circles = [{"diameter": size, "hole_count": count} | behind for size, count in ((295, 9), (180, 11))]
    alone = [behind | {"x": x, "y": 0, "thread": "M10"} for x in (-110, 110)]
    job = make_job(plate=PLATE | {"thickness": 40}, bolt_circle=circles, hole=alone)
    for sheet in sheets(job, MachineFile.DIVIDING, MachineFile.ROTARY).sheets:
        boxes = [items_box((item,)) for item in sheet.furniture if isinstance(item.what, Label)]
        assert not any(one.overlaps(other) for index, one in enumerate(boxes) for other in boxes[index + 1 :])


def words_of(job: Job, kind: MachineFile) -> str:
    return " ".join(each.text for each in labels(sheets(job, kind)))


@every_row("kind", [MachineFile.DIVIDING, MachineFile.ROTARY])
def test_the_spindle_moves_half_a_diameter_from_the_axis_that_the_true_edge_turns_on(kind: MachineFile) -> None:
    words = words_of(clocked(), kind)
    assert "up: the bore runs true" in words
    assert "Move X to 147.50 mm and lock it" in words
    assert {"X 147.50", "X 90.00"} <= {each.text for each in labels(sheets(clocked(), kind))}
    circle = {"diameter": 10, "hole_count": 7, "hole_diameter": 0.5}
    blind = words_of(make_job(units="in", plate={"outside_diameter": 12}, bolt_circle=[circle]), kind)
    assert "up: the rim runs true" in blind
    assert "Move X to 5.000 in and lock it" in blind
    # 7 holes either side of the top: the first stands half of 360 / 7 degrees past it.
    assert "hole 1 on the plate 115.714° from 3 o'clock, TOP up" in blind


def test_the_way_back_from_the_last_hole_and_the_turn_of_the_wheel_are_those_of_the_table() -> None:
    job = make_job(plate=PLATE, bolt_circle=[CIRCLES[0]], machine={"table_ratio": 90})
    words = words_of(job, MachineFile.ROTARY)
    assert "90 : 1 one turn of the handwheel: 4°" in words
    assert "After 8 on 45° 00′: the table at 0 proves the count." in words  # 315° + 45° is a whole turn


def test_a_plate_is_turned_over_about_its_upright_line_and_its_page_bears_number_and_revision() -> None:
    behind = {"diameter": 240, "hole_count": 4, "kind": "tapped", "thread": "M16", "depth": 20, "worked_from": "back"}
    plate, info = PLATE | {"thickness": 40}, {"number": "T-1", "revision": "C"}
    words = words_of(make_job(plate=plate, bolt_circle=[behind], job=info), MachineFile.ROTARY)
    assert "Turn the plate over, left to right: the back up, TOP stays where it was" in words
    assert "T-1 C" in words


def test_a_division_that_is_not_exact_says_how_far_off() -> None:
    circle = {"diameter": 300, "angles": [0, 120.1], "hole_diameter": 8}
    found = sheets(make_job(plate=PLATE, bolt_circle=[circle]), MachineFile.DIVIDING)
    words = " ".join(each.text for each in labels(found))
    # 120.1 degrees are 13 + 31/90 turns of a 40:1 crank, nearest 10 spaces of 29: 1/90 of a space off, that is
    # 1 / (90 x 40 x 29) of a turn or 12.4 seconds, 0.009 mm on 300.
    assert "no hole off by more than 12 seconds of arc, 0.009 mm on the circle" in words


def test_circles_that_no_hole_circle_serves_together_have_one_and_a_zero_each() -> None:
    circles = [{"diameter": 300, "hole_count": 9, "hole_diameter": 8}, CIRCLES[1] | {"hole_count": 11}]
    found = sheets(make_job(plate=PLATE, bolt_circle=circles), MachineFile.DIVIDING)
    assert len(found.sheets) == 2
    for sheet, holes, step in zip(found.sheets, ("18 holes", "33 holes"), ("4 + 8", "3 + 21"), strict=True):
        words = [item.what.text for item in sheet.furniture if isinstance(item.what, Label)]
        # 40 / 9 = 4 + 8/18 turns, 40 / 11 = 3 + 21/33: plain indexing.
        assert {holes, step, "0 + 0"} <= {*words}
        assert not any("exactly" in word for word in words)


def test_a_page_of_the_back_shows_its_own_holes_where_they_are_then() -> None:
    behind = {"kind": "tapped", "thread": "M16", "depth": 20, "worked_from": "back", "hole_diameter": None}
    circles = [{key: held for key, held in (CIRCLES[0] | behind).items() if held is not None}, CIRCLES[1]]
    job = make_job(plate=PLATE | {"thickness": 40}, bolt_circle=circles)
    face, back = sheets(job, MachineFile.READOUT).sheets
    for sheet, group, sign in ((face, "B", 1.0), (back, "A", -1.0)):
        drawn = dict(_holes(sheet))
        wanted = {hole.label: hole.center for hole in job.flange.holes() if hole.label.startswith(group)}
        assert drawn.keys() == wanted.keys()
        for label, center in wanted.items():
            assert drawn[label].distance_to(Point(sign * center.x, center.y)) < 1e-6
    assert any("M16 × 20/⌀14 × 26" in each.text for each in labels(SheetSet((back,), stamp_of(job))))


def test_what_is_made_at_each_place_stands_beside_its_coordinates() -> None:
    circles = [
        {"diameter": 295, "hole_count": 4, "kind": "tapped", "thread": "M16", "depth": 20},
        {"diameter": 220, "hole_count": 4, "hole_diameter": 14, "kind": "slot", "slot_length": 30, "start_angle": 45},
    ]
    pin = {"x": 0, "y": 80, "diameter": 10, "kind": "dowel"}
    job = make_job(plate=PLATE | {"thickness": 40}, bolt_circle=circles, hole=[pin], machine={"files": ["readout"]})
    (listed,) = (data.decode("utf-8-sig") for data in build_packet(job, [Part.MACHINE]).values())
    for label, made in (("A1", "M16 × 20/⌀14 × 26"), ("B3", "SLOT 14 × 30 ALONG CIRCLE"), ("X1", "⌀10 H7")):
        (row,) = (line for line in listed.splitlines() if line.startswith(f"{label},"))
        assert made in row
    words = [each.text for each in labels(sheets(job, MachineFile.ROTARY))]
    assert {"M16 × 20/⌀14 × 26", "SLOT 14 × 30 ALONG CIRCLE"} <= {*words}


def test_words_of_a_row_keep_off_its_rules_however_many_they_are() -> None:
    kind = {"kind": "tapped", "depth": 0.875, "radius": 6}
    alone = [kind | {"thread": ("3/4-10", "1/2-13")[at % 2], "angle": 45 * at} for at in range(8)]
    plate = {"outside_diameter": 19, "bore": 8.125, "thickness": 1.25}
    sheet = {"dual_units": True, "paper": "Letter"}
    job = make_job(units="in", plate=plate, bolt_circle=[], hole=alone, sheet=sheet)
    items = [item.what for sheet in sheets(job, MachineFile.READOUT).sheets for item in sheet.furniture]
    rules = [what.start.y for what in items if isinstance(what, Line) and what.start.y == what.end.y]
    made = [what for what in items if isinstance(what, Label) and re.search("UNC|DRILL", what.text)]
    boxes = [label_box(label) for label in made]
    assert len(boxes) >= 16
    assert rules
    assert min(min(abs(y - box.bottom), abs(y - box.top)) for box in boxes for y in rules) > 1.0


def _holes(sheet: Sheet) -> Iterator[tuple[str, Point]]:
    for item in sheet.views[0].drawing.items:
        if isinstance(item.source, HoleRef) and isinstance(item.what, Circle):
            yield item.source.label, item.what.center


@every_row("kind", ["machined-flange", "base-plate", "tube-sheet"])
def test_numbers_of_the_picture_stand_clear_of_lines_and_each_other_and_nearest_to_their_own_hole(kind: str) -> None:
    job = job_from_text(starters()[kind].content.decode())
    sheet = sheets(job, MachineFile.READOUT).sheets[0]
    (view,), page = sheet.views, read_page(replace(sheet, furniture=()))
    holes = {hole.label: hole.center.scaled(view.scale) + view.at_paper for hole in job.flange.holes()}
    assert {"TOP", next(iter(holes))} <= {*page.words} <= {"TOP", *holes}
    assert len(page.words) > 4
    for index, (word, room) in enumerate(zip(page.words, page.rooms, strict=True)):
        assert not shapely.intersects(room, page.strokes).any(), word
        assert not shapely.intersects(room, page.rooms[index + 1 :]).any(), word
        away = {label: math.dist((at.x, at.y), room.centroid.coords[0]) for label, at in holes.items()}
        assert word == "TOP" or min(away, key=away.__getitem__) == word


@every_row(("count", "page_count", "height"), [(14, 1, 7.5), (20, 1, 6.75), (21, 1, 6.0), (64, 2, 6.0)])
def test_figures_are_as_large_as_save_no_page_and_the_last_line_is_signed(
    count: int, page_count: int, height: float
) -> None:
    circle = {"diameter": 295, "hole_count": count, "hole_diameter": 8}
    pages = sheets(make_job(plate=PLATE, bolt_circle=[circle]), MachineFile.DIVIDING)
    heights = {each.height_paper for each in labels(pages) if " + " in each.text and each.height_paper > 3.5}
    assert (len(pages.sheets), min(heights)) == (page_count, height)
    *others, last = [" ".join(each.text for each in labels(SheetSet((page,), pages.stamp))) for page in pages.sheets]
    assert "Done by: ___" in last
    assert "Count proved: ___" in last
    assert not any("Done by" in words for words in others)


def test_holes_to_read_out_stand_in_lists_by_what_is_made_at_them() -> None:
    pages = sheets(clocked(hole=[{"x": 0, "y": 65, "diameter": 10, "kind": "dowel"}]), MachineFile.READOUT)
    words = " ".join(each.text for each in labels(pages))
    assert re.findall(r"HOLES [A-Z].*? hole X Y", words) == [
        "HOLES A1 TO A8 ⌀22 hole X Y",
        "HOLES B1 TO B8 ⌀14 hole X Y",
        "HOLES X1 ⌀10 H7 (+0.015/0.000), REAM FOR DOWEL hole X Y",
    ]
    assert "Chords measured: ___" in words


@every_row(("count", "paper"), product((8, 9), ["A4", "Letter"]))
def test_no_hole_stands_alone_at_the_end_of_a_column(paper: str, count: int) -> None:
    circles = [{"diameter": 295, "hole_count": count, "hole_diameter": 8}, CIRCLES[1] | {"hole_count": 6}]
    job = make_job(plate=PLATE, bolt_circle=circles, sheet={"paper": paper})
    for sheet in sheets(job, MachineFile.ROTARY).sheets:
        told = [item.what for item in sheet.furniture if isinstance(item.what, Label)]
        lists = [each for each in told if each.text.startswith("CIRCLE ")]
        for head in lists:
            below = [each for each in told if each.at.x == head.at.x and each.at.y < head.at.y and each not in lists]
            until = max((each.at.y for each in lists if each.at.x == head.at.x and each.at.y < head.at.y), default=0.0)
            assert sum(each.height_paper == head.height_paper and each.at.y > until for each in below) >= 3


@every_row(("count", "paper"), product([1, 8, 60], ["A4", "Letter"]))
def test_everything_stands_on_the_page_with_its_box_and_nothing_on_another(paper: str, count: int) -> None:
    circle = {"diameter": 295, "hole_count": count, "hole_diameter": 8}
    job = make_job(plate=PLATE, bolt_circle=[circle], sheet={"paper": paper})
    pages = sheets(job, MachineFile.DIVIDING, MachineFile.ROTARY, MachineFile.READOUT)
    for sheet in pages.sheets:
        box = items_box(sheet.furniture)
        assert box.left >= 10
        assert box.bottom >= 10
        assert box.right <= sheet.paper.width - 10
        assert box.top <= sheet.paper.height - 10
        boxes = [items_box((item,)) for item in sheet.furniture if isinstance(item.what, Label)]
        for index, one in enumerate(boxes):
            assert not any(one.overlaps(other) for other in boxes[index + 1 :])
    small = [each for each in labels(pages) if each.height_paper < 2.5]
    assert not small


def test_the_page_is_a_part_of_the_packet_on_request_only(tmp_path: Path) -> None:
    asked = clocked(machine={"files": ["settings page", "rotary table"]})
    names = sorted(build_packet(asked, [Part.MACHINE]))
    assert names == ["T-1-A_machine.pdf", "T-1-A_rotary-table_A.csv", "T-1-A_rotary-table_B.csv"]
    words = pdf_pages_text(build_packet(asked, [Part.MACHINE])["T-1-A_machine.pdf"])
    assert "ROTARY TABLE SETTINGS" in words
    assert "DIVIDING" not in words
    assert not any(
        name.endswith(".pdf") for name in build_packet(clocked(machine={"files": ["readout"]}), [Part.MACHINE])
    )


def test_the_command_writes_the_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = tmp_path / "T-1.toml"
    job.write_text(toml_text(job_data(plate=PLATE, bolt_circle=CIRCLES)), encoding="utf-8")
    assert run(["machine", str(job), "--show", "dividing", "--into", str(tmp_path)]) == 0
    assert "T-1-A_machine.pdf" in capsys.readouterr().out
    assert "DIVIDING HEAD SETTINGS" in pdf_pages_text((tmp_path / "T-1-A_machine.pdf").read_bytes())


def test_a_plate_without_a_circle_has_a_readout_only() -> None:
    job = make_job(plate=PLATE, bolt_circle=[], hole=[{"x": 100, "y": 0, "diameter": 10}])
    pages = sheets(job, MachineFile.DIVIDING, MachineFile.READOUT)
    assert len(pages.sheets) == 1


@pytest.mark.parametrize("kind", [MachineFile.READOUT, MachineFile.ROTARY])
def test_slots_are_said_to_be_set_by_their_middles_and_how_far_the_cutter_goes(kind: MachineFile) -> None:
    slots = {"diameter": 250, "hole_count": 4, "kind": "slot", "hole_diameter": 14, "slot_length": 34}
    said = " ".join(label.text for label in labels(sheets(make_job(plate=PLATE, bolt_circle=[slots]), kind)))
    # a cutter of 14 makes 34 over all where its middle goes 10 to both sides
    assert "1 TO 4 are slots, set by their middles: mill from there ±10.00 mm along the circle" in said
