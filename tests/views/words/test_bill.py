"""Bill of material, worked bolt lengths, mass notes, sequences."""

import math
import tomllib
from typing import Any

import pytest

from flangelayout.drawing.convention import Convention
from flangelayout.files.starters import starters
from flangelayout.flange import Drilling, Flange, SingleHole, SplitOutline, Tapped
from flangelayout.flange.drilling import Fastener, Joint
from flangelayout.flange.mass import plate_solid
from flangelayout.geometry.shapes import Point, extent
from flangelayout.job.load import job_from_data
from flangelayout.standards.joints.hardware import FastenerKind, NotListed
from flangelayout.units import Unit, size_text
from flangelayout.views.words import bill
from flangelayout.views.words.bench.sequences import drilling_tables, tightening_tables
from flangelayout.views.words.bill import bill_table, bolt_notes, gravity_text, mass_note, mass_words
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.notes import cautions
from jobs import bolt_circle, flange
from rows import every_row

MM = Lengths(Unit.MM)
STATED = Joint(mate_thickness=24.0, gasket_thickness=3.0)


def bolted(
    bolt: str = "M20",
    joint: Joint = STATED,
    **changes: Any,  # noqa: ANN401 - fields of any kind
) -> Flange:
    plate: dict[str, Any] = {"bore": 170.5, "thickness": 22.0, "material": "carbon steel plate"}
    return flange(bolt_circle(bolt=bolt, joint=joint), **(plate | changes))


def test_the_bill_lists_plate_bolts_nuts_washers_and_gasket_for_the_quantity() -> None:
    assert bill_table(bolted(), 2, MM).rows == (
        ("1", "1", "2", "plate, carbon steel plate", "⌀285 × 22", "", "6.55 kg"),
        ("2", "8", "16", "hexagon bolt", "M20 × 80", "ISO 4014", ""),
        ("3", "8", "16", "hexagon nut", "M20", "ISO 4032", ""),
        ("4", "16", "32", "washer", "for M20", "ISO 7089", ""),
        ("5", "1", "2", "gasket", "⌀218 / ⌀170.5 × 3", "", ""),
    )


def test_a_bolt_length_is_worked_out_part_by_part() -> None:
    # 22 + 24 + 3 + 2 x 3 + 18 + 2 x 2.5 = 78; the next length of ISO 888 is 80.
    (note,) = bolt_notes(bolted(), MM)
    assert "plate 22.00 + mate 24.00 + gasket 3.00 + 2 washers 6.00 + 1 nut 18.00 + 2 threads 5.00 = 78.00 mm" in note
    assert "ISO 888 (not verified: compare before ordering): M20 × 80." in note
    assert "common practice, no source" in note


def test_one_bill_has_one_sign_between_sizes() -> None:
    """ISO 129-1 writes ×, ASME Y14.5 an X; bolts of the other system stand in the bill of the sheet's rules."""
    asme = Lengths(Unit.MM, convention=Convention.ASME)
    sizes = [row[4] for row in bill_table(bolted(), 1, asme).rows]
    assert sizes[:2] == ["⌀285 X 22", "M20 X 80"]
    (note,) = bolt_notes(bolted(), asme)
    assert "M20 X 80." in note
    assert "×" not in "".join(sizes)


def test_a_stud_has_two_nuts_and_threads_at_both_ends() -> None:
    plate = bolted(joint=Joint(24.0, 3.0, Fastener.STUD, washers=0))
    (note,) = bolt_notes(plate, MM)
    assert "2 nuts 36.00 + 4 threads 10.00 = 95.00 mm" in note
    assert [row[3] for row in bill_table(plate, 1, MM).rows] == [
        "plate, carbon steel plate", "stud", "hexagon nut", "gasket",
    ]  # fmt: skip


def test_a_stud_is_bought_with_two_nuts_and_a_washer_for_each() -> None:
    rows = bill_table(bolted(joint=Joint(24.0, 3.0, Fastener.STUD)), 3, MM).rows
    ordered = {row[3]: (row[1], row[2]) for row in rows}
    assert ordered["stud"] == ("8", "24")
    assert ordered["hexagon nut"] == ("16", "48")
    assert ordered["washer"] == ("16", "48")


def test_what_is_taken_for_granted_is_said() -> None:
    (note,) = bolt_notes(bolted(joint=Joint()), MM)
    assert "as thick as this plate: measure the mate" in note
    assert "gasket" not in note
    (ordered,) = (row for row in bill_table(bolted(joint=Joint()), 1, MM).rows if row[3].startswith("hexagon bolt"))
    assert ordered[3] == "hexagon bolt, mate assumed as thick as this plate"


def test_a_bolt_of_no_table_is_said_and_not_counted() -> None:
    (note,) = bolt_notes(bolted("two old ones"), MM)
    assert "two old ones" in note
    assert len(bill_table(bolted("two old ones"), 1, MM).rows) == 1


def test_a_plate_without_thickness_has_no_bolt_length() -> None:
    (note,) = bolt_notes(bolted(thickness=None), MM)
    assert "no thickness is stated" in note
    assert len(bill_table(bolted(thickness=None), 1, MM).rows) == 1


def test_what_is_screwed_into_the_plate_is_ordered_by_its_thread() -> None:
    """A screw through a mate of 24 with one washer of 3 and M20 of thread: 47 mm; the next of ISO 888 is 50."""
    tapped = bolt_circle(hole_diameter=17.5, bolt="M20", kind=Tapped("M20", 20.0, 30.0), joint=Joint(24.0))
    rows = bill_table(flange(tapped, thickness=40.0), 1, MM).rows
    assert [row[3:6] for row in rows[1:]] == [
        ("hexagon screw", "M20 × 50", "ISO 4017"),
        ("washer", "for M20", "ISO 7089"),
    ]


def test_every_reason_to_leave_something_out_has_its_words() -> None:
    assert set(bill._WHY) == set(NotListed)
    assert set(bill._STANDARDS) == set(FastenerKind)


def test_a_bolt_that_does_not_go_through_its_hole_is_not_ordered() -> None:
    """An M20 bolt is 20 mm thick (ISO 4014); its hole here is 18."""
    plate = flange(bolt_circle(hole_diameter=18.0, bolt="M20", joint=STATED), thickness=22.0, bore=100.0)
    assert len(bill_table(plate, 1, MM).rows) == 1
    (note,) = bolt_notes(plate, MM)
    assert note == "Bolts are not in the bill: M20 does not go through its hole."


@every_row("material", ["rubber sheet", "fiber gasket sheet", "PTFE sheet"])
def test_a_gasket_orders_no_bolts_and_no_gasket(material: str) -> None:
    plate = bolted(material=material)
    assert [row[3] for row in bill_table(plate, 10, MM).rows] == [f"gasket, {material}"]
    assert not list(bolt_notes(plate, MM))
    assert mass_words(plate, MM.unit)
    assert len(cautions(plate)) == 1


def test_a_cut_gasket_is_ordered_by_both_diameters_and_a_part_of_a_ring_by_its_own_mass() -> None:
    (row,) = bill_table(flange(bore=170.0, thickness=3.0, material="rubber sheet"), 1, MM).rows
    assert row[4] == "⌀285 / ⌀170 × 3"
    halves = Flange(SplitOutline(360.0, 220.0, 2), (), thickness=20.0, material="carbon steel plate")
    (half,) = bill_table(halves, 1, MM).rows
    # Half of pi/4 (360² - 220²) mm² by 20 mm of 7850 kg/m³.
    assert float(half[6].removesuffix(" kg")) == pytest.approx(math.pi / 8 * (360**2 - 220**2) * 20 * 7850e-9, rel=0.01)
    assert half[1] == "2"


def test_the_center_of_gravity_is_told_along_x_and_along_y() -> None:
    # A hole of 50 in a disc of 200 at (60, 0): the center moves by -60 × 50² / (200² - 50²) = -4 mm along X.
    hole = SingleHole(Point(60.0, 0.0), Drilling(50.0))
    plate = flange(bolt_circle(2, 170.0, 1.0), outside_diameter=200.0, thickness=10.0, single_holes=(hole,))
    solid = plate_solid(plate)
    assert solid is not None
    assert gravity_text(solid, MM) == "center of gravity at X -4.00, Y 0.00 mm from the middle"


def test_a_gasket_is_taken_only_for_a_joint_that_something_says_is_sealed() -> None:
    def gaskets(plate: Flange) -> list[str]:
        return [row[4] for row in bill_table(plate, 1, MM).rows if row[3].startswith("gasket")]

    unstated = Joint(mate_thickness=24.0)
    assert gaskets(bolted(joint=unstated)) == []
    assert gaskets(bolted(joint=unstated, raised_face_diameter=212.0, raised_face_height=3.0)) == ["⌀212 / ⌀170.5 × 2"]
    assert gaskets(bolted(joint=Joint(24.0, 0.0))) == []
    blind = job_from_data(
        {
            "plate": {"outside_diameter": 285, "thickness": 22},
            "bolt_circle": [{"standard": "EN 1092-1 PN16 DN150", "bolt": "M20"}],
        }
    )
    assert gaskets(blind.flange) == ["⌀218 / bore of the mate × 2"]


def test_a_ring_in_parts_is_listed_by_its_parts() -> None:
    data = tomllib.loads(starters()["split-ring"].content.decode())
    job = job_from_data(data)
    row = bill_table(job.flange, 1, MM).rows[0]
    box = extent(job.flange.pieces()[0])
    assert row[1] == str(data["plate"]["part_count"])
    assert row[3].startswith("part of the plate")
    assert row[4].startswith(f"{size_text(box.width, Unit.MM)} × {size_text(box.height, Unit.MM)}")


def test_the_mass_stands_in_the_unit_of_the_sheet_with_its_density() -> None:
    assert (mass_words(bolted(), Unit.MM), mass_words(bolted(), Unit.IN)) == ("6.55 kg", "14.4 lb")
    assert "7850 kg/m³ (carbon steel, two sources agree); center of gravity in the middle" in mass_note(bolted(), MM)
    assert "8000 kg/m³ (as stated)" in mass_note(bolted(density=8000.0), MM)


def test_an_unknown_material_has_no_mass_and_says_what_to_do() -> None:
    plate = bolted(material="unobtainium")
    assert mass_words(plate, Unit.MM) == ""
    assert mass_note(plate, MM) == 'No mass is given: "unobtainium" is in no density table; state its density.'
    assert mass_note(bolted(material=""), MM) == "No mass is given: no material is stated."


def test_two_opposite_holes_are_drilled_and_pinned_first() -> None:
    (table,) = drilling_tables(bolted())
    assert table.rows == (
        ("D1 - D2", "1, 5", "pin both before D3"),
        ("D3 - D6", "3, 7, 2, 6", ""),
        ("D7 - D8", "4, 8", ""),
    )


def test_tightening_numbers_are_told_apart_from_hole_numbers() -> None:
    (table,) = tightening_tables(bolted())
    assert table.rows[:2] == (("T1 - T4", "1, 5, 3, 7"), ("T5 - T8", "2, 6, 4, 8"))
    assert table.rows[-1] == ("source", "ASME PCC-1 cross pattern, not verified: compare")


def test_skipped_holes_are_left_out_of_both_sequences() -> None:
    plate = flange(bolt_circle(bolt="M20", skipped=(3,)))
    for tables in (drilling_tables(plate), tightening_tables(plate)):
        (table,) = tables
        named = ", ".join(row[1] for row in table.rows if row[0] != "source")
        assert sorted(int(number) for number in named.split(", ")) == [1, 2, 4, 5, 6, 7, 8]
