"""Lifting holes as a kind of hole, the mass that a shop lifts by hand, and what is said of both."""

from typing import Any

import pytest

from flangelayout.checks import Finding, Rule
from flangelayout.errors import InputError
from flangelayout.flange import Drilled, Flange, Tapped
from flangelayout.job import Job
from flangelayout.job.load import job_from_data
from flangelayout.job.shop import shop_from_text
from flangelayout.problems.schema import SchemaProblem
from flangelayout.standards.joints.hardware import hardware_of
from flangelayout.units import Unit
from flangelayout.views.words.findings import finding_text
from flangelayout.views.words.hole_tables import hole_list, hole_tables
from flangelayout.views.words.joint.lifting import lifting_notes
from flangelayout.views.words.lengths import Lengths
from jobs import job_data, make_job
from rows import every_row

EYE = {"kind": "lifting", "name": "eye bolt", "thread": "M20", "depth": 24, "radius": 300, "angle": 90}
SHACKLE = {"kind": "lifting", "diameter": 30, "x": 0, "y": -450}
PLATE = {"outside_diameter": 1100, "thickness": 40, "material": "carbon steel"}
# pi/4 x 1100^2 x 40 mm of steel at 7850 kg/m3: 298.4 kg before the holes are taken off.


def cover(*holes: dict[str, Any], shop: str = "", **tables: Any) -> Job:  # noqa: ANN401 - tables of any kind
    keys = job_data(plate=PLATE, bolt_circle=[], hole=list(holes), **tables)
    return job_from_data(keys, shop=shop_from_text(shop))


def heavy(job: Job) -> list[Finding]:
    return [each for each in job.findings if each.rule is Rule.HEAVY]


def told(flange: Flange, found: Finding, unit: Unit = Unit.MM) -> str:
    return finding_text(flange, found, unit)


def test_lifting_holes_are_threads_or_plain_holes_and_say_what_they_are_for() -> None:
    flange = cover(EYE, SHACKLE, {"diameter": 12, "x": 100, "y": 0}).flange
    assert [hole.label for hole in flange.lifting_holes()] == ["X1", "X2"]
    assert [type(hole.kind) for hole in flange.lifting_holes()] == [Tapped, Drilled]
    note, lifted = lifting_notes(flange, Lengths(Unit.MM))
    # 298.4 kg less a thread of 17.5 x 24, a hole of 30 x 40 and a vent of 12 x 40: 0.05, 0.22 and 0.04 kg.
    # Moments of what is taken off over 37,973 cm3 that are left: 28.27 cm3 at Y -450, 4.52 at X 100, and at Y 300 the
    # tap drill of 17.5, three pitches of 2.5 deeper than the thread (common practice, no source) with its point: 8.00.
    assert lifted == "To be lifted: 298 kg, center of gravity at X -0.01, Y 0.27 mm from the middle."
    assert note.startswith("Lifting holes X1, X2: ")
    assert "competent person" in note
    (table,) = hole_tables(flange, Lengths(Unit.MM))
    kinds = [row[-1] for row in table.rows]
    assert [("lifting" in kind) for kind in kinds] == [True, True, False]
    groups = [row[1] for row in hole_list(flange, Unit.MM).rows]
    assert groups == ["eye bolt (lifting)", "single hole (lifting)", "single hole"]
    assert list(lifting_notes(cover(SHACKLE | {"kind": "drilled"}).flange, Lengths(Unit.MM))) == []


def test_a_plate_of_unknown_mass_says_what_to_state_before_it_is_lifted() -> None:
    plate = {key: held for key, held in PLATE.items() if key != "material"}
    _, lifted = lifting_notes(make_job(plate=plate, bolt_circle=[], hole=[EYE]).flange, Lengths(Unit.MM))
    assert lifted.startswith("To be lifted: mass not known, state material or density, center of gravity at X ")


def test_nothing_is_ordered_for_a_lifting_hole() -> None:
    assert hardware_of(cover(EYE).flange) == ()


def test_what_is_heavier_than_the_shop_lifts_by_hand_is_told_in_the_unit_of_the_job() -> None:
    job = cover(shop="[checks]\nhand_lift = 25\n")
    (found,) = heavy(job)
    assert not found.failed
    assert "298 kg, more than the 25.0 kg" in told(job.flange, found)
    assert "no hole of it is given as a lifting hole" in told(job.flange, found)
    # 298.4 kg / 0.45359237 = 658 lb
    assert "658 lb" in told(job.flange, found, Unit.IN)
    eye = cover(EYE, checks={"hand_lift": 25})
    assert "lifting hole" not in told(eye.flange, heavy(eye)[0])
    assert heavy(cover(shop="[checks]\nhand_lift = 299\n")) == []
    (usual,) = heavy(cover())
    assert "more than the 25.0 kg that one person lifts (common practice; local rules)" in told(job.flange, usual)
    assert heavy(cover(checks={"hand_lift": "650 lb"}))
    assert not heavy(cover(checks={"hand_lift": "660 lb"}))


def test_a_plate_above_25_kg_is_told_of_where_the_shop_says_nothing() -> None:
    # 450 mm of carbon steel, 7850 kg/m3: 1.2485 kg a millimeter of thickness, 24.97 kg at 20, 25.60 at 20.5.
    for thickness, count in ((20, 0), (20.5, 1)):
        plate = {"outside_diameter": 450, "thickness": thickness, "material": "carbon steel"}
        assert len(heavy(job_from_data(job_data(plate=plate, bolt_circle=[])))) == count


@every_row("written", [0, -3, "25 stone", "heavy", True])
def test_a_mass_that_is_none_is_told(written: object) -> None:
    with pytest.raises(InputError) as wrong:
        cover(checks={"hand_lift": written})
    assert [problem.kind for problem in wrong.value.problems] == [SchemaProblem.NEEDS_MASS]


def test_a_bare_mass_is_in_pounds_beside_inches() -> None:
    plate = {"outside_diameter": 20, "thickness": 1, "material": "carbon steel"}  # 314.2 in3 x 0.2836 = 89.1 lb
    for most, count in ((89, 1), (90, 0)):
        job = job_from_data(job_data(units="in", plate=plate, bolt_circle=[], checks={"hand_lift": most}))
        assert len(heavy(job)) == count
