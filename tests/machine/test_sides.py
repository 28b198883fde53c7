"""Holes that are made from the back, against the plate turned over in space: (x, y, z) goes to (-x, y, -z)."""

import math

import pytest

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import CenterMark
from flangelayout.drawing.references import HoleRef
from flangelayout.flange import BoltCircle, Flange, Hole
from flangelayout.flange.cut_plan import plan_cut
from flangelayout.flange.cutting import CutOptions, DrillingOptions, HoleCut, MachineFile, Zero
from flangelayout.flange.hole import Tapped
from flangelayout.flange.turning import PlateFace
from flangelayout.machine.drilling import drilling_program
from flangelayout.machine.tables import setting_tables
from flangelayout.standards.shop import dividing_heads
from flangelayout.units import Unit
from flangelayout.views.cut.finished import finished_cut
from flangelayout.views.template.drawing import template_drawing
from flangelayout.views.template.measured.across import paper_check
from flangelayout.views.words.machine import setting_pages
from jobs import flange
from rows import every_row


def adapter() -> Flange:
    """A: eight blind threads of the back; B: eight blind threads of the face; C: through threads of the back."""
    circles = (
        (240.0, 8, 17.5, 0.0, Tapped("M20", 20.0, 30.0), PlateFace.BACK),
        (175.0, 8, 14.0, 10.0, Tapped("M16", 16.0, 24.0), PlateFace.FACE),
        (110.0, 6, 8.5, 0.0, Tapped("M10", 10.0), PlateFace.BACK),
    )
    made = [
        BoltCircle(diameter, count, drill, start_angle=start, kind=kind, worked_from=face)
        for diameter, count, drill, start, kind, face in circles
    ]
    return flange(*made, thickness=45.0)


PLATE = adapter()


def turned_over(hole: Hole) -> tuple[float, float]:
    return -hole.center.x, hole.center.y


def tables(kind: MachineFile, zero: Zero = Zero.CENTER) -> dict[str, tuple[tuple[str, ...], ...]]:
    options = DrillingOptions(Unit.MM, zero)
    return {name: table.rows for name, table in setting_tables(PLATE, kind, dividing_heads()[0], 90, options, repr)}


@every_row(("zero", "first"), [(Zero.CENTER, 0.0), (Zero.CORNER, -142.5), (Zero.FIRST_HOLE, None)])
def test_the_readout_has_a_list_for_each_face(zero: Zero, first: float | None) -> None:
    place = zero.value.replace(" ", "-")
    found = tables(MachineFile.READOUT, zero)
    back = found[f"readout_{place}_mm_back"]
    assert [row[0][0] for row in found[f"readout_{place}_mm"]] == ["B"] * 8
    assert [row[0] for row in back] == [f"A{n}" for n in range(1, 9)] + [f"C{n}" for n in range(1, 7)]
    holes = {hole.label: turned_over(hole) for hole in PLATE.holes()}
    x0, y0 = (first, first) if first is not None else holes["A1"]
    for label, x, y, _, _ in back:
        assert (float(x), float(y)) == pytest.approx((holes[label][0] - x0, holes[label][1] - y0), abs=0.0006)


@every_row("kind", [MachineFile.ROTARY, MachineFile.DIVIDING])
def test_work_that_is_turned_over_comes_to_the_last_hole_after_the_first(kind: MachineFile) -> None:
    for name, rows in tables(kind).items():
        letter = name[-1]
        seen = {}
        for hole in (each for each in PLATE.holes() if each.label.startswith(letter)):
            x, y = turned_over(hole) if letter in "AC" else (hole.center.x, hole.center.y)
            seen[str(hole.number)] = math.degrees(math.atan2(y, x)) % 360
        assert [row[0] for row in rows][:2] == ["1", "2" if letter == "B" else str(len(rows))]
        for number, on_plate, *rest in rows:
            assert float(on_plate) == pytest.approx(seen[number], abs=1e-4), (letter, number)
            from_first = (seen[number] - seen["1"]) % 360
            if kind is MachineFile.ROTARY:
                assert float(rest[0]) == pytest.approx(from_first, abs=1e-4)
            else:  # 40:1: nine degrees a turn of the crank
                spaces = int(rest[1]) if rest[1] != "any" else 1
                assert (int(rest[2]) + int(rest[3]) / spaces) * 9 == pytest.approx(from_first, abs=1e-6)


@every_row("kind", [MachineFile.ROTARY, MachineFile.DIVIDING, MachineFile.READOUT])
def test_the_pages_say_which_face_lies_up(kind: MachineFile) -> None:
    face, back = setting_pages(PLATE, kind, dividing_heads()[0], 90, DrillingOptions(Unit.MM))
    assert face.heading.endswith(f"FROM {PLATE.face.upper()}")
    assert back.heading.endswith("FROM THE BACK")
    assert back.steps[0].startswith("Turn the plate over")
    labels = [[label[0] for listed in page.lists for label, *_ in listed.rows] for page in (face, back)]
    assert [sorted(set(each)) for each in labels] == [["B"], ["A", "C"]]
    (plain,) = setting_pages(flange(thickness=20.0), kind, dividing_heads()[0], 90, DrillingOptions(Unit.MM))
    assert "FROM" not in plain.heading


def test_nothing_on_this_face_leads_a_drill_to_a_blind_hole_of_the_other() -> None:
    marks = CutOptions(small_holes=HoleCut.CENTER_MARK)
    drawings = [finished_cut(PLATE, JobInfo("T-1"), options, Unit.MM) for options in (CutOptions(), marks)]
    for items in (*(each.items for each in drawings), template_drawing(PLATE).items):
        named = {item.source.label[0] for item in items if isinstance(item.source, HoleRef)}
        assert named == {"B", "C"}
        crosses = [item.what.at for item in items if isinstance(item.what, CenterMark)]
        hidden = [hole.center for hole in PLATE.holes() if hole.label.startswith("A")]
        assert all(cross.distance_to(center) > 5.0 for cross in crosses for center in hidden)
    plan = plan_cut(PLATE, CutOptions())
    assert {hole.label[0] for hole in plan.left} == {"A"}
    assert {hole.label[0] for hole in plan.marked} == {"B", "C"}
    circles = [item.what for item in template_drawing(PLATE).items if item.layer is Layer.TEMPLATE_RAYS]
    assert not [each for each in circles if getattr(each, "radius", 0.0) == pytest.approx(120.0)]


def test_what_is_read_on_the_paper_is_on_the_paper() -> None:
    told = [length.between for length in paper_check(PLATE, Unit.MM).lengths]
    assert told == [
        "hole B1 to hole B5",
        "hole B3 to hole B7",
    ]


def test_the_program_leaves_what_is_made_from_the_back_and_says_so() -> None:
    program = drilling_program(PLATE, JobInfo("T-1"), "0" * 10, DrillingOptions(Unit.MM))
    left = [line for line in program.splitlines() if "STILL TO DO" in line]
    assert [("FROM THE BACK" in line, line.split("HOLES ")[1][0]) for line in left] == [
        (True, "A"), (False, "B"), (True, "C")]  # fmt: skip
