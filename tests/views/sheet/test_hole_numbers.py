"""A hole number belongs to its hole at a glance: judged from what is drawn and the hole list, not from the layout."""

import csv
import io
import math
import random
from dataclasses import replace
from itertools import product
from typing import Any

import pdfplumber
import pytest

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.explode import exploded
from flangelayout.drawing.model import Label, Sheet, SheetSet, View
from flangelayout.drawing.references import HoleRef
from flangelayout.files.starters import starters
from flangelayout.flange import BoltCircle
from flangelayout.geometry.shapes import Point
from flangelayout.job import Job, job_from_data
from flangelayout.packet.job import Part, build_packet, layout_pages
from flangelayout.writers.pdf import write_pdf
from jobs import PAPERS, make_job
from rows import first_of
from views.random_outlines import random_outline
from views.sheet.test_overlap import faults
from views.sheet.test_section_cut import random_plate
from views.sheet_reader import random_job

MARGIN = 1.5
"""How many times nearer a number stands to its own hole than to any other: the drawing office's rule."""
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


def numbers(view: View) -> dict[str, Place]:
    """The numbers of a face view with the middles of their letters, in mm about the middle of the plate."""
    return {
        item.what.text: (item.what.at.x, item.what.at.y)
        for item in view.drawing.items
        if isinstance(item.what, Label) and isinstance(item.source, HoleRef)
    }


def strays(job: Job, view: View) -> list[str]:
    """Numbers whose own hole is not the nearest by the margin."""
    places, found = hole_places(job), []
    for label, at in numbers(view).items():
        own = math.dist(at, places[label])
        other = min((math.dist(at, place) for name, place in places.items() if name != label), default=math.inf)
        if other < MARGIN * own - 1e-3:
            found.append(f"{label} stands {own:.2f} from its own hole and {other:.2f} from another")
    return found


def off_ray(job: Job, view: View) -> list[str]:
    """Numbers of bolt circles that do not stand on the ray of their own hole, or not on the side of the others."""
    places, found = hole_places(job), []
    sides: dict[str, set[bool]] = {}
    circles = {job.flange.group_letter(g) for g, what in enumerate(job.flange.groups()) if isinstance(what, BoltCircle)}
    for label, at in numbers(view).items():
        letter = label.rstrip("0123456789")
        if letter not in circles:
            continue
        x, y = places[label]
        aside = abs(at[0] * y - at[1] * x) / math.hypot(x, y) * view.scale
        sides.setdefault(letter, set()).add(math.hypot(*at) > math.hypot(x, y))
        if aside > 0.05:
            found.append(f"{label} stands {aside:.2f} mm beside its ray")
    return [*found, *(f"{letter} is numbered on both sides" for letter, both in sides.items() if len(both) > 1)]


def small_letters(sheets: SheetSet) -> list[str]:
    """Texts that are lower than the least step of lettering."""
    found = set()
    least = LEAST_LETTER[sheets.convention or Convention.ISO]
    for sheet in sheets.sheets:
        for items, scale in ((sheet.furniture, 1.0), *((view.drawing.items, view.scale) for view in sheet.views)):
            labels = (part for _, part in exploded(items, scale) if isinstance(part, Label))
            found |= {f"{each.text!r} is {each.height_paper} high" for each in labels if each.height_paper < least}
    return sorted(found)


def all_faults(job: Job) -> list[str]:
    sheets = layout_pages(job)
    view = face_view(sheets.sheets[0])
    return [*strays(job, view), *off_ray(job, view), *small_letters(sheets), *faults(job, sheets)]


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
    view = face_view(layout_pages(job).sheets[0])
    assert not strays(job, view)
    assert not off_ray(job, view)
    turned = [
        replace(item, what=replace(item.what, at=Point(-item.what.at.y, item.what.at.x)))
        if isinstance(item.what, Label) and isinstance(item.source, HoleRef)
        else item
        for item in view.drawing.items
    ]
    slid = replace(view, drawing=replace(view.drawing, items=tuple(turned)))
    assert len(strays(job, slid)) == 8
    assert len(off_ray(job, slid)) == 8


def test_numbers_are_printed_where_they_are_drawn() -> None:
    job = make_job()
    sheets = layout_pages(job)
    view = face_view(sheets.sheets[0])
    with pdfplumber.open(io.BytesIO(write_pdf(sheets))) as document:
        page = document.pages[0]
        words = page.extract_words()
        for label, (x, y) in numbers(view).items():
            at = view.at_paper.x + x * view.scale, view.at_paper.y + y * view.scale
            middles = [
                ((word["x0"] + word["x1"]) / 2 / 72 * 25.4, (float(page.height) - word["bottom"]) / 72 * 25.4)
                for word in words
                if word["text"] == label
            ]
            assert min(math.hypot(px - at[0], (py - at[1]) / 2) for px, py in middles) < 1.5


def test_eight_holes_are_all_numbered() -> None:
    assert set(numbers(face_view(layout_pages(make_job()).sheets[0]))) == {str(n) for n in range(1, 9)}


@pytest.mark.slow
def test_sixty_four_holes_are_numbered_from_hole_1_on_with_an_arrow() -> None:
    many = {"diameter": 2900, "hole_count": 64, "hole_diameter": 33}
    plate = {"outside_diameter": 3000, "bore": 2700, "thickness": 40}
    view = face_view(layout_pages(make_job(plate=plate, bolt_circle=[many])).sheets[0])
    shown = set(map(int, numbers(view)))
    assert len(shown) > 8
    assert any(shown - {2, 3} <= set(range(1, 65, step)) for step in (2, 4, 5, 10))
    assert any(isinstance(item.what, Label) and item.what.text == "count this way" for item in view.drawing.items)


@pytest.mark.parametrize("seeds", first_of([range(1), range(1, 12)]))
def test_numbers_of_every_kind_of_plate_belong_to_their_holes(seeds: range) -> None:
    assert not {seed: told for seed in seeds if (told := all_faults(seeded(seed)))}


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
