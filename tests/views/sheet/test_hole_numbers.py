"""A hole number belongs to its hole at a glance: judged from the printed page and the hole list."""

import csv
import io
import math
import random
import re
from dataclasses import dataclass
from itertools import product
from typing import Any

import pytest
import shapely
import shapely.affinity

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.model import AngularDimension, DiameterDimension, Item, Label, Leader, Sheet, SheetSet, View
from flangelayout.drawing.references import Feature, FeatureRef, GroupRef, HoleRef
from flangelayout.files.starters import starters
from flangelayout.flange import BoltCircle
from flangelayout.geometry.shapes import Point
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import Part, build_packet, layout_pages
from flangelayout.value import replace
from flangelayout.writers.pdf import write_pdf
from jobs import PAPERS, make_job
from rows import every_row, first_of
from views.awkward_jobs import AWKWARD
from views.printed_page import PrintedPage, printed_pages
from views.random_outlines import random_outline
from views.sheet.test_overlap import faults
from views.sheet.test_section_cut import random_plate
from views.sheet_reader import random_job

MARGIN = 1.5
"""How many times nearer a number stands to its own hole than to any other: the drawing office's rule."""
LED_MARGIN = 1.1
"""The same beyond a plate all round or in its bore, where a line from the hole to its number says whose it is."""
INK = 0.15
"""Printed mm that the middle of the ink of figures may lie beside the middle of their text."""
LEAST_LETTER = {Convention.ISO: 2.5, Convention.ASME: 3.0}
"""ISO 3098-1: steps of 2.5, 3.5, 5 mm; ASME Y14.2: 3 mm (from memory). Smaller ones are not read on a copy."""

Place = tuple[float, float]


def hole_places(job: Job) -> dict[str, Place]:
    """The centers of all holes in mm by their labels, as the file has them that the shop drills by."""
    (data,) = build_packet(job, [Part.HOLES]).values()
    rows = csv.DictReader(io.StringIO(data.decode("utf-8-sig")))
    (x,) = (name for name in rows.fieldnames or () if name.startswith("x_center_"))
    unit = 25.4 if x.endswith("_in") else 1.0
    return {row["hole"]: (float(row[x]) * unit, float(row[x.replace("x_", "y_", 1)]) * unit) for row in rows}


def face_view(sheet: Sheet) -> View:
    (view,) = (view for view in sheet.views if view.drawing.title == "layout")
    return view


@dataclass(frozen=True, slots=True)
class NumberedPlate:
    """A printed face view, in printed mm from the middle of the plate.

    Attributes:
        holes: Where the holes are printed, by the hole list.
        numbers: The middles of the printed numbers.
        led: Numbers that a printed line leads to.
        missing: Holes that are not printed where the hole list has them, numbers that are not printed.
    """

    holes: dict[str, Place]
    numbers: dict[str, Place]
    led: frozenset[str]
    missing: tuple[str, ...]


def numbered_plate(job: Job, view: View, page: PrintedPage) -> NumberedPlate:
    """The face view of a job as it is printed on the first page; the layout only says which texts are numbers."""
    shift = shapely.affinity.translate
    strokes = [shift(each, -view.at_paper.x, -view.at_paper.y) for each in page.strokes]
    holes = {label: (x * view.scale, y * view.scale) for label, (x, y) in hole_places(job).items()}
    crosses = shapely.STRtree([each.interpolate(0.0) for each in strokes if shapely.get_num_points(each) == 2])
    edges = shapely.STRtree([each for each in strokes if each.is_closed])
    missing = [f"hole {label}" for label, at in holes.items() if not _is_printed(crosses, edges, at)]
    found: dict[str, Place] = {}
    lines = shapely.STRtree([each for each in strokes if shapely.get_num_points(each) == 2])
    led = set()
    for label, (x, y) in numbers(view).items():
        at = x * view.scale, y * view.scale
        texts = [(t.middle[0] - view.at_paper.x, t.middle[1] - view.at_paper.y) for t in page.texts if t.words == label]
        nearest = min(texts, key=lambda place: math.dist(place, at), default=(math.inf, math.inf))
        if math.dist(nearest, at) > 0.5:
            missing.append(f"number {label}")
            continue
        found[label] = nearest
        between = shapely.LineString([holes[label], nearest])
        near = (lines.geometries[index] for index in lines.query(between, predicate="dwithin", distance=0.3))
        if any(line.length > 0.3 and shapely.covers(between.buffer(0.35), line) for line in near):
            led.add(label)
    return NumberedPlate(holes, found, frozenset(led), tuple(missing))


def _is_printed(crosses: shapely.STRtree, edges: shapely.STRtree, at: Place) -> bool:
    """Whether the four lines of a cross begin at a place and a closed edge is the same distance off on both sides."""
    here = shapely.Point(*at)
    if len(crosses.query(here, predicate="dwithin", distance=0.03)) < 4:
        return False
    ray = shapely.LineString([here, (0.0, 0.0) if math.hypot(*at) > 1e-6 else (100.0, 0.0)])
    near = [edges.geometries[index] for index in edges.query(here, predicate="dwithin", distance=60.0)]
    inward = [here.distance(met) for edge in near if not (met := edge.intersection(ray)).is_empty]
    away = shapely.affinity.scale(ray, -1.0, -1.0, origin=here)
    outward = [here.distance(met) for edge in near if not (met := edge.intersection(away)).is_empty]
    return any(abs(one - other) < 0.05 for one in inward for other in outward)


def numbers(view: View) -> dict[str, Place]:
    """The numbers of a face view with the middles of their letters, in mm about the middle of the plate."""
    return {
        item.what.text: (item.what.at.x, item.what.at.y)
        for item in view.drawing.items
        if isinstance(item.what, Label) and isinstance(item.source, HoleRef)
    }


def strays(plate: NumberedPlate, rim: float, bore: float) -> list[str]:
    """Numbers whose own hole is not the nearest by the margin; ``rim`` and ``bore`` are printed radii of the plate."""
    found = []
    for label, at in plate.numbers.items():
        own = math.dist(at, plate.holes[label])
        other = min((math.dist(at, place) for name, place in plate.holes.items() if name != label), default=math.inf)
        is_off = not bore <= math.hypot(*at) <= rim
        margin = LED_MARGIN if label in plate.led and is_off else MARGIN
        if other < margin * (own - INK):
            found.append(f"{label} stands {own:.2f} from its own hole and {other:.2f} from another")
    return found


def off_ray(job: Job, plate: NumberedPlate) -> list[str]:
    """Numbers of bolt circles that do not stand on the ray of their own hole, or not on the side of the others.

    One that a line leads to may stand on the other side, and so far beside the ray as it is off the circle.
    """
    found = []
    sides: dict[str, set[bool]] = {}
    circles = {job.flange.group_letter(g) for g, what in enumerate(job.flange.groups()) if isinstance(what, BoltCircle)}
    for label, at in plate.numbers.items():
        letter = label.rstrip("0123456789")
        if letter not in circles:
            continue
        x, y = plate.holes[label]
        aside = abs(at[0] * y - at[1] * x) / math.hypot(x, y)
        along = abs((at[0] - x) * x + (at[1] - y) * y) / math.hypot(x, y)
        if label not in plate.led:
            sides.setdefault(letter, set()).add(math.hypot(*at) > math.hypot(x, y))
        if aside > (along if label in plate.led else 0.0) + 0.25:
            found.append(f"{label} stands {aside:.2f} mm beside its ray")
    return [*found, *(f"{letter} is numbered on both sides" for letter, both in sides.items() if len(both) > 1)]


def untold(job: Job, view: View, printed: list[PrintedPage]) -> list[str]:
    """Circles and patterns of which the view leaves numbers out and no sheet says so; TOP, letters, faces."""
    shown, flange = numbers(view), job.flange
    lacking = {hole.group for hole in flange.holes() if hole.label not in shown}
    notes = " ".join(text.words for page in printed for text in page.texts)
    names = {flange.group_name(group) if group >= 0 else "single holes" for group in lacking}
    found = [
        f"{name} lacks numbers, untold" for name in sorted(names) if not re.search(rf"(?i){re.escape(name)}: ", notes)
    ]
    words = [text.words for text in printed[0].texts]
    wanted = {"TOP": 1}
    if flange.thickness is not None:
        letter = "Y" if flange.group_letter(0) else "A"
        wanted |= {letter: 2, "BACK": 1, flange.face.upper(): 1}
    return [
        *found,
        *(f"{word} stands {words.count(word)} times" for word, n in wanted.items() if words.count(word) < n),
    ]


def over_holes(job: Job, view: View) -> list[str]:
    """Call-outs of holes whose leader runs over a hole: over another one, or through its own to the far side.

    Who meets another hole on the way takes that for the one told (common practice, no source).
    """
    items = [each for each in view.drawing.items if isinstance(each.source, GroupRef | HoleRef)]
    leaders = [each.what for each in items if isinstance(each.what, Leader)]
    discs = [shapely.Point(hole.center.x, hole.center.y).buffer(0.49 * hole.diameter) for hole in job.flange.holes()]
    tree, found = shapely.STRtree(discs), []
    for leader in leaders:
        line = shapely.LineString([(at.x, at.y) for at in (leader.tip, leader.elbow)])
        if any(discs[at].distance(shapely.Point(*line.coords[0])) > 0 for at in tree.query(line, "intersects")):
            found.append(f"the leader of {leader.text[0]!r} runs over a hole")
    return found


def small_letters(convention: Convention, printed: list[PrintedPage]) -> list[str]:
    """Texts that are printed lower than the least step of lettering."""
    texts = (text for page in printed for text in page.texts)
    low = LEAST_LETTER[convention] - 0.005
    return sorted({f"{each.words!r} is {each.height:.2f} high" for each in texts if each.height < low})


def all_faults(job: Job, sheets: SheetSet | None = None) -> list[str]:
    sheets = sheets or layout_pages(job)
    printed, view = printed_pages(write_pdf(sheets)), face_view(sheets.sheets[0])
    plate = numbered_plate(job, view, printed[0])
    box = job.flange.box()
    rim = max(box.right, box.top, -box.left, -box.bottom) * view.scale
    numbered = [
        *over_holes(job, view),
        *plate.missing,
        *strays(plate, rim, (job.flange.bore or 0.0) / 2 * view.scale),
        *off_ray(job, plate),
        *untold(job, view, printed),
    ]
    return [*numbered, *small_letters(sheets.convention or Convention.ISO, printed), *faults(job, sheets, printed)]


def ring(dice: random.Random) -> Job:
    """A ring with many holes on one to three circles, from a hand's breadth to 3 m."""
    outside = 10 ** dice.uniform(math.log10(120), math.log10(3000))
    circles: list[dict[str, Any]] = []
    room = outside * 0.97
    for count in dice.sample((24, 28, 32, 36, 48, 60, 64, 100), dice.choice((1, 1, 2, 3))):
        hole = min(room * math.sin(math.pi / count) * 0.5, outside * 0.03)
        room -= 1.4 * hole
        turn = dice.choice((0, 0, 3))
        circles.append({"diameter": room, "hole_count": count, "hole_diameter": hole, "start_angle": turn})
        room -= 2.2 * hole
    sheet = {
        "paper": dice.choice(PAPERS),
        "convention": dice.choice(("ISO", "ASME")),
        "dual_units": dice.random() < 0.3,
    }
    plate = {"outside_diameter": outside, "bore": room * dice.uniform(0.5, 0.95), "thickness": outside * 0.04}
    return make_job(plate=plate, bolt_circle=circles, sheet=sheet)


def starter(name: str, paper: str) -> Job:
    import tomllib

    data = tomllib.loads(starters()[name].content.decode())
    return job_from_data({**data, "sheet": {**data.get("sheet", {}), "paper": paper}})


def seeded(seed: int) -> Job:
    """In turn a starter, a crowded ring, a plate of another outline, a machined one, and two random round plates."""
    dice = random.Random(seed)
    match seed % 6:
        case 0:
            return starter(sorted(starters())[seed // 6 % len(starters())], dice.choice(PAPERS))
        case 1:
            return ring(dice)
        case 2:
            return random_outline(10_000 + seed)
        case 3:
            return random_plate(10_000 + seed, paper=dice.choice(PAPERS), dual_units=dice.random() < 0.3)
        case _:
            return random_job(10_000 + seed)


def test_the_judge_sees_a_number_slid_along_its_circle() -> None:
    job = make_job()
    sheets = layout_pages(job)
    first = sheets.sheets[0]
    turned = [
        replace(item, what=replace(item.what, at=Point(-item.what.at.y, item.what.at.x)))
        if isinstance(item.what, Label) and isinstance(item.source, HoleRef)
        else item
        for item in face_view(first).drawing.items
    ]
    told = " ".join(all_faults(job, _with_items(sheets, turned)))
    assert all(f"{number} stands" in told for number in range(1, 9))
    assert told.count("from another") == 8
    assert told.count("beside its ray") == 8


def test_the_judge_misses_a_hole_and_a_number_that_are_not_printed() -> None:
    job = make_job()
    sheets = layout_pages(job)
    items = [item for item in face_view(sheets.sheets[0]).drawing.items if item.source != HoleRef("3")]
    assert all_faults(job, _with_items(sheets, items)) == ["hole 3", "bolt circle lacks numbers, untold"]


def _with_items(sheets: SheetSet, items: list[Item]) -> SheetSet:
    """The sheets with other things on the face view."""
    first, *others = sheets.sheets
    view = face_view(first)
    shown = replace(view, drawing=replace(view.drawing, items=tuple(items)))
    views = tuple(shown if each is view else each for each in first.views)
    return replace(sheets, sheets=(replace(first, views=views), *others))


def test_the_angle_to_hole_1_is_that_of_the_hole_list() -> None:
    job = make_job(bolt_circle=[{"diameter": 240, "hole_count": 8, "hole_diameter": 22, "start_angle": 7}])
    x, y = hole_places(job)["1"]
    said = [
        item.what.text
        for item in face_view(layout_pages(job).sheets[0]).drawing.items
        if isinstance(item.what, AngularDimension)
    ]
    assert said == [f"({abs(math.degrees(math.atan2(x, y))):.4g}°)"]


def test_eight_holes_are_all_numbered() -> None:
    assert set(numbers(face_view(layout_pages(make_job()).sheets[0]))) == {str(n) for n in range(1, 9)}


@pytest.mark.slow
def test_numbers_that_the_sizes_leave_no_room_for_are_led_to_on_their_own_ray() -> None:
    plate = {"outside_diameter": 43.75, "thickness": 1}
    circle = {"diameter": 41, "hole_count": 40, "hole_diameter": 1.0625}
    job = make_job(units="in", plate=plate, bolt_circle=[circle], sheet={"paper": "Letter"})
    sheets = layout_pages(job)
    found = numbered_plate(job, face_view(sheets.sheets[0]), printed_pages(write_pdf(sheets))[0])
    assert set(found.numbers) == {str(number) for number in range(1, 41)}
    assert {"12", "29"} <= found.led
    assert not all_faults(job, sheets)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_holes_of_three_circles_near_each_other_are_all_numbered(paper: str) -> None:
    """B3 and B6 find no place on their own rays, which lead past holes of the circles within and without."""
    circles = [
        {"diameter": 370, "hole_count": 12, "hole_diameter": 22},
        {"diameter": 270, "hole_count": 8, "hole_diameter": 18, "start_angle": 10},
        {"diameter": 160, "hole_count": 5, "hole_diameter": 14, "start_angle": 4.25},
    ]
    plate = {"outside_diameter": 420, "bore": 90, "thickness": 30}
    job = make_job(plate=plate, bolt_circle=circles, sheet={"paper": paper})
    sheets = layout_pages(job)
    assert len(numbers(face_view(sheets.sheets[0]))) == 12 + 8 + 5
    assert not all_faults(job, sheets)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_a_diameter_whose_lines_would_cost_numbers_stands_at_the_rim(paper: str) -> None:
    circle = {"diameter": 1880, "hole_count": 72, "hole_diameter": 30}
    job = make_job(
        plate={"outside_diameter": 2000, "bore": 1700, "thickness": 35}, bolt_circle=[circle], sheet={"paper": paper}
    )
    sheets = layout_pages(job)
    view = face_view(sheets.sheets[0])
    assert set(numbers(view)) == {str(number) for number in range(1, 73, 2)}
    outside = [item.what for item in view.drawing.items if item.source == FeatureRef(Feature.OUTSIDE)]
    (size,) = (each for each in outside if isinstance(each, DiameterDimension))
    assert (2 * size.radius, size.text, len(outside)) == (2000, "⌀2000", 1)
    assert not all_faults(job, sheets)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_both_ends_of_every_row_of_a_grid_are_numbered_though_other_holes_stand_beside_them(paper: str) -> None:
    """Beside the middle row stand two holes of the rectangle with their numbers: there the figures are turned."""
    grid = {"hole_diameter": 12, "layout": "square", "pitch_x": 30, "pitch_y": 40, "columns": 9, "rows": 5}
    edge = {"width": 360, "height": 260, "columns": 4, "rows": 3, "hole_diameter": 14}
    plate = {"outline": "rectangle", "width": 400, "height": 300, "thickness": 10}
    job = make_job(plate=plate, bolt_circle=[], hole_grid=[grid], hole_rectangle=[edge], sheet={"paper": paper})
    sheets = layout_pages(job)
    ends = {number for row in range(5) for number in (9 * row + 1, 9 * row + 9)}
    shown = set(numbers(face_view(sheets.sheets[0])))
    assert shown == {*(f"A{number}" for number in range(1, 11)), *(f"B{number}" for number in ends)}
    assert not all_faults(job, sheets)


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_the_corners_of_a_crowded_grid_are_numbered_which_the_card_asks_for(paper: str) -> None:
    sheets = layout_pages(starter("tube-sheet", paper))
    shown = {number for number in numbers(face_view(sheets.sheets[0])) if number.startswith("B")}
    assert shown == {"B1", "B6", "B207", "B212"}


@pytest.mark.slow
def test_of_eighty_holes_every_so_many_from_hole_1_on_is_numbered_with_an_arrow_of_sixty_four_most() -> None:
    many = {"diameter": 2900, "hole_diameter": 33}
    plate = {"outside_diameter": 3000, "bore": 2700, "thickness": 40}
    views = [
        face_view(layout_pages(make_job(plate=plate, bolt_circle=[{**many, "hole_count": count}])).sheets[0])
        for count in (64, 80)
    ]
    most, some = (set(map(int, numbers(view))) for view in views)
    assert len(most) > 48  # figures have no tails to keep room for
    assert len(some) > 4
    assert any(some - {2, 3} == set(range(1, 81, step)) for step in (2, 4, 5, 10, 20))
    texts = [item.what.text for item in views[1].drawing.items if isinstance(item.what, Label)]
    assert "count this way" in texts


@pytest.mark.slow
@every_row("paper", ["A4", "Letter"])
def test_five_holes_are_all_numbered_though_two_find_no_place_beside_the_others(paper: str) -> None:
    """Beside two larger circles: the numbers of two of the five are led to, which every second one would leave out."""
    data = {"units": "mm", "job": {"number": "T-1"}, **AWKWARD["three circles"], "sheet": {"paper": paper}}
    job = job_from_data(data)
    (view, *_) = layout_pages(job).sheets[0].views
    assert set(numbers(view)) == set(hole_places(job))


@pytest.mark.slow
def test_where_numbers_crowd_every_second_is_numbered_and_none_is_dropped_here_and_there() -> None:
    circle = {"diameter": 360, "hole_count": 40, "hole_diameter": 14}
    plate = {"outside_diameter": 420, "bore": 260, "thickness": 28}
    view = face_view(layout_pages(make_job(plate=plate, bolt_circle=[circle], sheet={"paper": "A4"})).sheets[0])
    assert {int(number) for number in numbers(view)} - {2} == set(range(1, 41, 2))


@pytest.mark.slow
def test_a_ring_of_three_meters_stands_at_a_twentieth_on_a4_with_the_quarters_numbered() -> None:
    circle = {"diameter": 2880, "hole_count": 72, "hole_diameter": 33, "bolt": "M30"}
    plate = {"outside_diameter": 3000, "bore": 2700, "thickness": 40, "material": "carbon steel plate"}
    view = face_view(layout_pages(make_job(plate=plate, bolt_circle=[circle], sheet={"paper": "A4"})).sheets[0])
    assert view.scale == 1 / 20
    assert set(numbers(view)) >= {"1", "19", "37", "55"}


@pytest.mark.slow
def test_every_fourth_of_thirty_holes_within_others_is_numbered_along_the_circle_with_an_arrow() -> None:
    data = {"units": "mm", "job": {"number": "T-1"}, **AWKWARD["many warnings"], "sheet": {"paper": "A4"}}
    job = job_from_data(data)
    view = face_view(layout_pages(job).sheets[0])
    labels = [each.what for each in view.drawing.items if isinstance(each.what, Label)]
    inner = [each for each in labels if re.fullmatch(r"A\d+", each.text)]
    assert {each.text for each in inner} == {f"A{number}" for number in range(1, 31, 4)}
    for each in inner:
        radial = math.degrees(math.atan2(each.at.y, each.at.x))
        assert (each.rotation_deg - radial) % 180 == pytest.approx(90)
        assert -75 <= each.rotation_deg < 105
    assert any(each.text == "A: count this way" for each in labels)
    assert not all_faults(job)


@pytest.mark.parametrize("seeds", first_of([range(1), range(1, 12)]))
def test_numbers_of_every_kind_of_plate_belong_to_their_holes(seeds: range) -> None:
    assert not {seed: told for seed in seeds if (told := all_faults(seeded(seed)))}


@pytest.mark.slow
def test_the_lines_to_sign_on_beside_long_verdicts_keep_their_names_apart() -> None:
    assert not all_faults(seeded(593))


@pytest.mark.slow
def test_what_is_signed_for_stands_on_another_page_where_its_last_list_fills_one() -> None:
    assert not all_faults(seeded(873))


@pytest.mark.slow
def test_sections_of_holes_under_each_other_keep_off_the_names_above_them() -> None:
    assert not all_faults(seeded(231))


@pytest.mark.slow
def test_views_stand_in_their_frame_where_the_title_block_leaves_no_room_to_move_them() -> None:
    assert not all_faults(seeded(41))


@pytest.mark.property_deep
@pytest.mark.parametrize("block", range(50))
def test_a_thousand_sheets_of_every_kind_have_no_fault(block: int, from_seed: int) -> None:
    first = from_seed + 20 * block
    found = {seed: told for seed in range(first, first + 20) if (told := all_faults(seeded(seed)))}
    assert not found


@pytest.mark.slow
@pytest.mark.parametrize(("name", "paper"), list(product(sorted(starters()), ("A4", "Letter"))))
def test_numbers_of_every_starter_belong_to_their_holes(name: str, paper: str) -> None:
    assert not all_faults(starter(name, paper))


@pytest.mark.slow
@every_row("name", ["strainer-plate", "tube-sheet"])
def test_a_leader_to_many_holes_runs_over_none_of_them(name: str) -> None:
    """It ends at a hole that none lies outside of."""
    job = starter(name, "A4")
    items = face_view(layout_pages(job).sheets[0]).drawing.items
    (leader,) = (each.what for each in items if isinstance(each.what, Leader) and each.source == GroupRef(1))
    line = shapely.LineString([(leader.tip.x, leader.tip.y), (leader.elbow.x, leader.elbow.y)])
    near = sorted(line.distance(shapely.Point(x, y)) for x, y in hole_places(job).values())
    radius = {hole.diameter / 2 for hole in job.flange.holes() if hole.group == 1}.pop()
    assert near[0] == pytest.approx(radius, abs=1e-3)  # the hole it leads to
    assert near[1] > radius + 0.1


@pytest.mark.slow
@every_row("seed", [189, 292, 551, 586])
def test_top_and_the_back_are_named_where_their_usual_places_are_taken(seed: int) -> None:
    assert not all_faults(seeded(seed))
