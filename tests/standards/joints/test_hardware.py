"""What a joint takes: kinds, counts and lengths, worked by hand and held against a published table of bolt lengths."""

from typing import Any

import pytest

from flangelayout.flange import Flange
from flangelayout.job.load import job_from_data
from flangelayout.standards import find
from flangelayout.standards.joints.hardware import (
    FastenerKind,
    Hardware,
    LeftOut,
    NotListed,
    hardware_of,
)
from flangelayout.standards.joints.seals import gasket_ring
from flangelayout.units import Unit, from_mm
from rows import every_row

Keys = dict[str, Any]
PLATE: Keys = {"outside_diameter": 285, "bore": 100, "thickness": 30, "material": "carbon steel"}


def _own(circle: Keys) -> Keys:
    return circle if "standard" in circle else {"diameter": 240, "hole_count": 8} | circle


def made(circle: Keys, mate: Keys | None = None, plate: Keys | None = None, **tables: Any) -> Flange:  # noqa: ANN401
    keys = {"plate": PLATE | (plate or {}), "bolt_circle": [_own(circle)], **tables}
    return job_from_data(keys | ({"mate": [mate]} if mate else {})).flange


def listed(flange: Flange) -> Hardware:
    (found,) = hardware_of(flange)
    assert isinstance(found, Hardware), found
    return found


def ordered(flange: Flange) -> tuple[FastenerKind, str, float, int, int, int]:
    found = listed(flange)
    return found.kind, found.name, round(found.length, 3), found.count, found.nuts, found.washers


B16_5_TABLE_7 = {
    "1/2": (55, 50), "3/4": (65, 50), "1": (65, 55), "1 1/4": (70, 55), "1 1/2": (70, 65), "2": (85, 70),
    "2 1/2": (90, 75), "3": (90, 75), "3 1/2": (90, 75), "4": (90, 75), "5": (95, 85), "6": (100, 85),
    "8": (110, 90), "10": (115, 100), "12": (120, 100), "14": (135, 115), "16": (135, 115), "18": (145, 125),
    "20": (160, 140), "24": (170, 150),
}  # fmt: skip
"""ASME B16.5-2009, Table 7, as printed in a maker's bolting booklet: Class 150, 2 mm raised faces, stud bolts and
machine bolts in mm."""


def test_lengths_are_near_those_that_asme_b16_5_lists_for_class_150() -> None:
    """Table 7 leaves both flanges their plus tolerance (3 to 5 mm each) and a gasket of 3 mm, and studs one thread.

    So a stud by the flanges' own thickness is at most a step of 1/4 in longer, and a bolt at most half an inch shorter.
    """
    for size, (stud, bolt) in B16_5_TABLE_7.items():
        row = find(f"ASME B16.5 Class 150 NPS {size}")
        assert row.thickness is not None
        thick = row.thickness + 25.4 / 16
        joint = {"standard": row.designation, "washers": 0, "gasket_thickness": 25.4 / 16, "mate_thickness": thick}
        for fastener, listed_as, least, most in (("stud", stud, -3.0, 9.0), ("bolt", bolt, -13.5, 2.0)):
            plate = {"outside_diameter": row.outside_diameter, "bore": 20, "thickness": thick}
            keys: Keys = {"plate": plate, "bolt_circle": [joint | {"fastener": fastener}]}
            assert least < listed(job_from_data(keys).flange).length - listed_as < most, (size, fastener)


def test_a_stud_in_a_thread_is_ordered_whatever_is_sold() -> None:
    """M20 in 25 mm, 20 of it held: 20 + mate 25 + washer 3 + nut 18 + 2 threads 5 = 71: 80 stands out past the nut."""
    circle = {"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M20", "mate_thickness": 25}
    plate = {"outside_diameter": 340, "bore": 100, "thickness": 25}
    keys: Keys = {"plate": plate, "bolt_circle": [circle | {"fastener": "stud"}]}
    assert ordered(job_from_data(keys).flange) == (FastenerKind.STUD, "M20", 80.0, 8, 8, 8)


def test_bolts_and_studs_of_a_class_150_flange_are_as_long_as_asme_b16_5_lists_them() -> None:
    """ASME B16.5-2009, Tables 7 and II-7, NPS 6 Class 150: 8 of 3/4 in, stud bolts 4.00 in, machine bolts 3.25 in.

    Two flanges of 1.00 in with their raised faces of 1/16, a gasket of 1/16, heavy hex nuts, no washers.
    """
    circle = {"standard": "ASME B16.5 Class 150 NPS 6", "washers": 0, "mate_thickness": "1 in"}
    circle |= {"gasket_thickness": "1/16 in"}
    plate = {"outside_diameter": "11 in", "bore": "6.72 in", "thickness": "1 in"}
    for fastener, length, nuts in (("stud", 4.0, 16), ("bolt", 3.25, 8)):
        keys: Keys = {"plate": plate, "bolt_circle": [circle | {"fastener": fastener}]}
        found = listed(job_from_data(keys).flange)
        assert from_mm(found.length, Unit.IN) == pytest.approx(length)
        assert (found.nuts, found.count) == (nuts, 8)


def test_a_sunk_head_against_a_published_flange_of_plain_holes_takes_a_nut_behind_it() -> None:
    """30 - 20.6 of counterbore + gasket 2 + mate 22 + washer 3 + nut 18 + 2 threads 5 = 59.4."""
    circle = {"standard": "EN 1092-1 PN16 DN150", "bolt": "M20", "kind": "counterbored", "mate_thickness": 22}
    expected = (FastenerKind.CAP_SCREW, "M20", 60.0, 8, 8, 8)
    assert ordered(made(circle | {"gasket_thickness": 2})) == expected
    alone = ordered(made({"bolt": "M20", "kind": "counterbored", "hole_diameter": 22}))
    assert alone[2:] == (30.0, 8, 0, 0)  # nothing names a mate: its thread is assumed, and said to be


@every_row(
    ("circle", "mate", "expected"),
    [
        # 30 + mate 20 + 2 washers 6 + nut 18 + 2 threads 5 = 79
        ({"bolt": "M20"}, {"thickness": 20}, (FastenerKind.HEX_BOLT, "M20", 80.0, 8, 8, 16)),
        # 30 + mate 4 + 2 washers 8 + nut 21.5 + 2 threads 6 = 69.5: under 90, ISO 4014 has no M24, ISO 4017 has 70
        ({"bolt": "M24", "hole_diameter": 26}, {"thickness": 4}, (FastenerKind.HEX_SCREW, "M24", 70.0, 8, 8, 16)),
        # into a tapped mate: 30 + washer 3 + 20 of thread = 53; no nut
        ({"bolt": "M20"}, {"thread": "M20"}, (FastenerKind.HEX_SCREW, "M20", 55.0, 8, 0, 8)),
        # cap screw: 30 - 20.6 of counterbore + 20 of thread = 29.4
        (
            {"bolt": "M20", "kind": "counterbored", "worked_from": "back"},
            {"thread": "M20"},
            (FastenerKind.CAP_SCREW, "M20", 30.0, 8, 0, 0),
        ),
        # countersunk: flush, 30 + 10 of thread = 40
        (
            {"bolt": "M10", "kind": "countersunk", "worked_from": "back"},
            {"thread": "M10"},
            (FastenerKind.FLAT_SCREW, "M10", 40.0, 8, 0, 0),
        ),
        # into the plate: 16 of thread + mate 20 + washer 3 = 39
        ({"kind": "tapped", "thread": "M16"}, {"thickness": 20}, (FastenerKind.HEX_SCREW, "M16", 40.0, 8, 0, 8)),
        # studs in the plate: 39 + nut 14.8 + 2 threads 4 = 57.8
        (
            {"kind": "tapped", "thread": "M16", "fastener": "stud"},
            {"thickness": 20},
            (FastenerKind.STUD, "M16", 60.0, 8, 8, 8),
        ),
        # fine thread: 16 + 20 + 3 = 39
        (
            {"kind": "tapped", "thread": "M16x1.5"},
            {"thickness": 20},
            (FastenerKind.HEX_SCREW, "M16x1.5", 40.0, 8, 0, 8),
        ),
        # jack screws: 30 + 12 to push
        ({"kind": "jack", "thread": "M12"}, None, (FastenerKind.JACK_SCREW, "M12", 45.0, 8, 0, 0)),
        # pins: 30 + 1.5 x 12 = 48
        ({"kind": "dowel", "hole_diameter": 12}, None, (FastenerKind.DOWEL, "", 50.0, 8, 0, 0)),
    ],
)
def test_kinds_counts_and_lengths_by_hand(circle: Keys, mate: Keys | None, expected: tuple[object, ...]) -> None:
    assert ordered(made(circle, mate)) == expected


def test_a_screw_is_not_ordered_where_no_length_is_right() -> None:
    """Thread 10 deep in the mate, M10 wanted: 30 + 2 + 10 = 42 to 42; ISO 888 has 40 and 45."""
    blind = {"thread": "M10", "thread_depth": 10}
    (found,) = hardware_of(made({"bolt": "M10"}, blind))
    assert isinstance(found, LeftOut)
    assert found.why is NotListed.NO_STOCK
    assert listed(made({"bolt": "M10"}, blind | {"thread_depth": 13})).length == 45.0


def test_a_screw_does_not_meet_the_bottom_of_the_plate_s_own_thread() -> None:
    """M16 with 16 of thread through a mate of 20 and a washer of 3: 39 to 39; with 20 of thread 39 to 43, so 40."""
    tapped = {"kind": "tapped", "thread": "M16", "depth": 16}
    (found,) = hardware_of(made(tapped, {"thickness": 20}))
    assert isinstance(found, LeftOut)
    assert found.why is NotListed.NO_STOCK
    assert listed(made(tapped | {"depth": 20}, {"thickness": 20})).length == 40.0


def test_a_recess_shortens_and_a_raised_face_does_not() -> None:
    mate = {"thickness": 20, "face": "face"}
    base = listed(made({"bolt": "M20"}, mate)).wanted
    sunk = [{"kind": "recess", "face": "back", "diameter": 282, "depth": 4}]
    assert listed(made({"bolt": "M20"}, mate, turned=sunk)).wanted == pytest.approx(base - 4)
    raised = {"raised_face_diameter": 200, "raised_face_height": 3}
    with_gasket = listed(made({"bolt": "M20", "gasket_thickness": 0}, mate, raised))
    assert with_gasket.wanted == pytest.approx(base)


def test_what_is_assumed_is_marked_and_nothing_is_ordered_for_gaskets_and_none() -> None:
    assumed = [
        any(part.assumed for part in listed(made({"bolt": "M20"}, mate)).summands) for mate in (None, {"thickness": 20})
    ]
    assert assumed == [True, False]
    assert hardware_of(made({"bolt": "M20"}, plate={"material": "rubber sheet"})) == ()
    assert hardware_of(made({"bolt": "M20", "fastener": "none"})) == ()


def test_a_wheel_is_bolted_by_nuts_of_its_own() -> None:
    circle = {"standard": "wheel hub 5x112", "bolt": "M14", "hole_diameter": 15}
    hub = made(circle, plate={"outside_diameter": 160, "bore": 60})
    (found,) = hardware_of(hub)
    assert isinstance(found, LeftOut)
    assert found.why is NotListed.OWN_BOLTS


def ring(flange: Flange) -> tuple[float, float | None] | None:
    hardware = listed(flange)
    found = gasket_ring(flange, hardware.group, hardware.diameter, hardware.unit)
    return (found.outside, found.inside) if found else None


@every_row(
    ("plate", "mate", "expected"),
    [
        ({}, {}, (218.0, 100.0)),  # inside the holes
        ({"raised_face_diameter": 200}, {}, (200.0, 100.0)),
        ({"raised_face_diameter": 200}, {"face": "back"}, (218.0, 100.0)),
        ({}, {"raised_face_diameter": 190, "bore": 120}, (190.0, 120.0)),
        ({}, {"outside_diameter": 210}, (210.0, 100.0)),
        ({}, {"bore": 230}, None),
    ],
)
def test_a_gasket_is_no_wider_than_what_it_lies_on(plate: Keys, mate: Keys, expected: object) -> None:
    assert ring(made({"bolt": "M20"}, {"thickness": 20, "gasket_thickness": 2} | mate, plate)) == expected


@every_row(
    ("row", "plate", "outside"),
    [
        ("EN 1092-1 PN16 DN100", 220, 162),
        ("EN 1092-1 PN16 DN250", 405, 329),
        ("EN 1092-1 PN16 DN500", 715, 617),
        ("EN 1092-1 PN16 DN1000", 1255, 1128),
        ("EN 1092-1 PN10 DN250", 395, 328),
        ("EN 1092-1 PN10 DN600", 780, 695),
        ("ASME B16.5 Class 150 NPS 6", 279.4, 8.75 * 25.4),
        ("ASME B16.5 Class 150 NPS 4", 228.6, 6.875 * 25.4),
    ],
)
def test_a_ring_is_as_wide_as_published(row: str, plate: float, outside: float) -> None:
    """BS 4865-1:1989, tables 5 and 6: the circle less a hole; ASME B16.21 (from memory): the circle less a bolt."""
    found = ring(
        made(
            {"standard": row, "bolt": find(row).bolt}, {"gasket_thickness": 2}, {"outside_diameter": plate, "bore": 50}
        )
    )
    assert found is not None
    assert found == pytest.approx((outside, 50))


def test_a_gasket_lies_on_the_raised_face_that_is_turned_on_its_side() -> None:
    turned = [{"kind": "raised face", "diameter": 205, "height": 3}]
    sides = [ring(made({"bolt": "M20"}, {"thickness": 20, "face": face}, turned=turned)) for face in ("face", "back")]
    assert sides == [(205.0, 100.0), (218.0, 100.0)]


def test_a_gasket_of_an_oval_flange_does_not_hang_out() -> None:
    """Starter of an oval flange: ends 96 wide; a gasket inside the bolts alone would be 100 and more."""
    circle = {"diameter": 130, "hole_count": 2, "bolt": "M12", "gasket_thickness": 2, "centerline": "horizontal"}
    plate = {"outline": "oval", "length": 160, "width": 96, "bore": 50, "thickness": 14}
    flange = job_from_data({"plate": plate, "bolt_circle": [circle | {"placement": "on-centerline"}]}).flange
    found = ring(flange)
    assert found is not None
    assert found[0] <= 96.0
