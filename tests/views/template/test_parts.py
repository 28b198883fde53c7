"""The template of a ring in parts: one part where all are alike, its holes those of every part by the numbers told."""

import re
from collections.abc import Iterator
from typing import Any

import pytest

from flangelayout.checks.cut_facts import PaperCannotHold
from flangelayout.checks.plate.paper import check_paper
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Drawing, Label, Sheet
from flangelayout.drawing.references import HoleRef
from flangelayout.flange import (
    BoltCircle,
    Drilling,
    Flange,
    RoundOutline,
    SingleHole,
    Slot,
    SlotDirection,
    SplitOutline,
    Tolerances,
)
from flangelayout.flange.sector import alike_part
from flangelayout.flange.turning import PlateFace
from flangelayout.geometry.contours import turned_point
from flangelayout.geometry.shapes import Circle, Point, polar
from flangelayout.job import Job
from flangelayout.packet.job import face_template, template_page
from flangelayout.units import Unit
from flangelayout.value import replace
from flangelayout.views.template.measured.across import paper_check
from flangelayout.views.template.pages import template_sheets
from jobs import make_job
from views.sheet_items import items_of

BLIND = {"kind": "tapped", "thread": "M20", "depth": 20}


def ring(part_count: int, *circles: dict[str, object], **more: object) -> Job:
    """A ring of 300 to 500 in parts 2 mm apart, whose first joint stands at 20 degrees."""
    plate = {"outline": "split", "outside_diameter": 500, "inside_diameter": 300, "part_count": part_count, "gap": 2}
    plate |= {"first_joint_angle": 20, "thickness": 40}
    return make_job(plate=plate, bolt_circle=list(circles), **more)


def three_parts() -> Job:
    """Two circles, one blind from the back, and two single holes on each of three parts; X1 is not on the first."""
    singles = [polar(radius, 150 + 120 * part) for part in range(3) for radius in (170, 230)]
    return ring(
        3,
        {"diameter": 440, "hole_count": 12, "hole_diameter": 18, "start_angle": -10},
        {"diameter": 370, "hole_count": 6, "start_angle": 50, "worked_from": "back", **BLIND},
        hole=[{"x": at.x, "y": at.y, "diameter": 8} for at in singles],
    )


def texts(sheet: Sheet) -> list[str]:
    """Every text of a page: beside its views, then in them."""
    return [item.what.text for item in items_of(sheet) if isinstance(item.what, Label)]


def told(sheet: Sheet) -> list[list[str]]:
    """The holes of every part, one by one, as a cover's table tells them."""
    words = [item.what.text for item in sheet.furniture if isinstance(item.what, Label)]
    start = next(index for index, text in enumerate(words) if text.startswith("EVERY PART"))
    rows = [text for text in words[start:] if re.fullmatch(r"[A-Z]?\d+[A-Z\d, ]*", text) and re.search(r"[A-Z]", text)]
    return [list(labels(row)) for row in rows]


def labels(row: str) -> Iterator[str]:
    for run in row.split(", "):
        low, _, high = run.partition(" TO ")
        letter = low.rstrip("0123456789")
        yield from (f"{letter}{n}" for n in range(int(low[len(letter) :]), int((high or low)[len(letter) :]) + 1))


def centers(drawing: Drawing) -> dict[str, Point]:
    """The middle of every hole."""
    return {
        item.source.label: item.what.center
        for item in drawing.items
        if item.layer is Layer.TEMPLATE_HOLES and isinstance(item.what, Circle) and isinstance(item.source, HoleRef)
    }


@pytest.mark.parametrize("face", PlateFace)
def test_laid_on_every_part_the_template_of_one_marks_the_holes_it_says(face: PlateFace) -> None:
    job = three_parts()
    sheets = template_sheets(face_template(job, face), job.template).sheets
    shown = centers(sheets[1].views[0].drawing)
    parts = told(sheets[0])
    assert len(parts) == 3
    assert set(parts[0]) == shown.keys()
    mirror = -1 if face is PlateFace.BACK else 1
    whole = {hole.label: hole.center for hole in job.flange.holes()}
    for number, part in enumerate(parts):
        for own, there in zip(parts[0], part, strict=True):
            laid = turned_point(shown[own], mirror * 120.0 * number)
            assert laid.distance_to(Point(mirror * whole[there].x, whole[there].y)) < 1e-6
    assert len({label for part in parts for label in part}) == sum(map(len, parts))
    assert any(text.startswith("ONE OF 3 PARTS: USE 3 TIMES") for text in texts(sheets[0]))
    assert all("TOP" not in texts(sheet) for sheet in sheets[1:]), "only one of the parts has the top of the ring"


def test_one_sheet_tells_the_numbers_of_the_other_parts() -> None:
    job = ring(2, {"diameter": 400, "hole_count": 12, "hole_diameter": 18, "start_angle": -10})
    (sheet,) = template_page(job).sheets
    words = " ".join(texts(sheet))
    assert "USE 2 TIMES FOR A RING" in words
    assert "HOLES 11, 12, 1 TO 4, ON THE NEXT PART COUNTER-CLOCKWISE: 5 TO 10" in words
    # The longest chord of one half: five pitches of 30 degrees on 400, 400 sin 75.
    assert "hole 11 to hole 4: 386.37" in words


def split(part_count: int = 2, *circles: BoltCircle, **more: Any) -> Flange:  # noqa: ANN401 - fields of any kind
    return Flange(SplitOutline(500.0, 300.0, part_count, 20.0, 2.0), circles, **more)


def test_parts_that_differ_are_shown_together() -> None:
    circle = BoltCircle(440.0, 12, 18.0, start_angle=-10.0)
    assert alike_part(split(2, circle))
    assert alike_part(split())

    def turned(hole: int, by: float) -> BoltCircle:
        angles = (angle + (by if number == hole else 0.0) for number, angle in enumerate(circle.place_angles, 1))
        return replace(circle, angles=tuple(angles))

    # 0.0002 degrees on a radius of 220 are 0.0008 mm, 0.0006 are 0.0023.
    assert alike_part(split(2, turned(5, 0.0002)))
    single = SingleHole(Point(170.0, 100.0), Drilling(8.0))
    differ = {
        "a hole 0.0023 off": split(2, turned(5, 0.0006)),
        "a hole left out": split(2, replace(circle, skipped=(2,))),
        "a single hole": split(2, circle, single_holes=(single,)),
        "single holes of two sizes": split(
            2, circle, single_holes=(single, SingleHole(Point(-170.0, -100.0), Drilling(9.0)))
        ),
        "a count that does not divide": split(2, BoltCircle(440.0, 11, 18.0, start_angle=-10.0)),
        "holes across the joints": split(2, replace(circle, start_angle=5.0)),
        "slots that all run one way": split(3, BoltCircle(400.0, 12, 12.0, kind=Slot(30.0, SlotDirection.X))),
        "a whole ring": Flange(RoundOutline(500.0), (circle,), bore=300.0),
    }
    assert {name for name, flange in differ.items() if alike_part(flange)} == set()
    assert alike_part(split(2, BoltCircle(400.0, 12, 12.0, kind=Slot(30.0, SlotDirection.X))))


def test_the_paper_of_a_part_without_holes_is_read_from_corner_to_corner() -> None:
    part = alike_part(Flange(SplitOutline(500.0, 300.0, 3, 20.0), ()))
    assert part is not None
    (check,) = paper_check(part.flange, Unit.MM).lengths
    # The chord of a third of 500: 500 sin 60.
    assert (check.between, check.wanted) == ("corner to corner of the outer edge", "433.01")


def test_paper_is_judged_by_the_chord_of_one_part() -> None:
    circle = BoltCircle(2900.0, 64, 33.0)
    plate = Flange(SplitOutline(3000.0, 2700.0, 8, 90.0, 2.0), (circle,), tolerances=Tolerances(chord=0.5))
    (found,) = check_paper(plate, "A4", 12.0, 10.0)
    assert isinstance(found.facts, PaperCannotHold)
    # An eighth of 2900 mm is 2900 sin 22.5 = 1109.8 wide: A4 shows 176 mm and shares 10, so 5.6 seams.
    assert found.facts.size == pytest.approx(1109.8, abs=0.05)
    assert found.facts.joints == 6
