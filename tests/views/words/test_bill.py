"""Bill of material, worked bolt lengths, mass notes, sequences."""

from typing import Any

from flangelayout.flange import Flange, Tapped
from flangelayout.flange.bolting import Fastener, Joint
from flangelayout.units import Unit
from flangelayout.views.words.bill import bill_table, bolt_notes, mass_note, mass_words
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.sequences import drilling_tables, tightening_tables
from jobs import bolt_circle, flange

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
        ("1", "1", "2", "plate, carbon steel plate", "⌀285 X 22", "6.55 kg"),
        ("2", "8", "16", "hexagon bolt", "M20 X 80", ""),
        ("3", "8", "16", "hexagon nut", "M20", ""),
        ("4", "16", "32", "washer", "for M20", ""),
        ("5", "1", "2", "gasket", "⌀220 / ⌀170.5 X 3", ""),
    )


def test_a_bolt_length_is_worked_out_part_by_part() -> None:
    # 22 + 24 + 3 + 2 x 3 + 18 + 2 x 2.5 = 78; the next length of ISO 888 is 80.
    (note,) = bolt_notes(bolted())
    assert "plate 22.00 + mate 24.00 + gasket 3.00 + 2 washers 6.00 + 1 nut 18.00 + 2 threads 5.00 = 78.00 mm" in note
    assert "ISO 888 (from memory): M20 X 80." in note
    assert "common practice, no source" in note


def test_a_stud_has_two_nuts_and_threads_at_both_ends() -> None:
    plate = bolted(joint=Joint(24.0, 3.0, Fastener.STUD, washers=0))
    (note,) = bolt_notes(plate)
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
    (note,) = bolt_notes(bolted(joint=Joint()))
    assert "as thick as this plate: state mate_thickness" in note
    assert "taken: state gasket_thickness" in note


def test_a_bolt_of_no_table_is_said_and_not_counted() -> None:
    (note,) = bolt_notes(bolted("two old ones"))
    assert "two old ones" in note
    assert len(bill_table(bolted("two old ones"), 1, MM).rows) == 1


def test_tapped_holes_and_plates_without_thickness_have_no_bolt_length() -> None:
    tapped = flange(bolt_circle(hole_diameter=17.5, bolt="M20", kind=Tapped("M20", 20.0, 30.0)), thickness=40.0)
    assert not list(bolt_notes(tapped))
    assert not list(bolt_notes(bolted(thickness=None)))


def test_the_mass_stands_in_the_unit_of_the_sheet_with_its_density() -> None:
    assert (mass_words(bolted(), Unit.MM), mass_words(bolted(), Unit.IN)) == ("6.55 kg", "14.4 lb")
    assert "7850 kg/m³ (carbon steel, two sources agree); center of gravity in the middle" in mass_note(bolted(), MM)
    assert "8000 kg/m³ (as stated)" in mass_note(bolted(density=8000.0), MM)


def test_an_unknown_material_has_no_mass_and_says_what_to_do() -> None:
    plate = bolted(material="unobtainium")
    assert mass_words(plate, Unit.MM) == ""
    assert "state plate.density" in mass_note(plate, MM)


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
    assert table.rows[-1] == ("source", "ASME PCC-1 cross pattern, from memory")


def test_skipped_holes_are_left_out_of_both_sequences() -> None:
    plate = flange(bolt_circle(bolt="M20", skipped=(3,)))
    for tables in (drilling_tables(plate), tightening_tables(plate)):
        (table,) = tables
        named = ", ".join(row[1] for row in table.rows if row[0] != "source")
        assert sorted(int(number) for number in named.split(", ")) == [1, 2, 4, 5, 6, 7, 8]
