"""From the keys of a table of holes to what is made, and what is said when they will not do.

Sizes by bolt: ISO 273 (M20 medium 22 mm), ASME B18.2.8 (3/4 normal 13/16 in), ISO 2306 (M16 drill 14 mm).
"""

import pytest

from flangelayout.errors import InputError
from flangelayout.flange import (
    DRILLED,
    BoltCircle,
    Counterbored,
    Countersunk,
    Dowel,
    HoleKind,
    Jack,
    SingleHole,
    Slot,
    SlotDirection,
    Spotfaced,
    Tapped,
)
from flangelayout.flange.origin import Made
from flangelayout.job.load import job_from_data
from flangelayout.units import Unit, to_mm
from rows import every_row

PLATE = {"outside_diameter": 400, "thickness": 40}


def circle(units: str = "mm", **keys: object) -> BoltCircle:
    table = {"diameter": 300 if units == "mm" else 12, "hole_count": 8, **keys}
    plate = PLATE if units == "mm" else {"outside_diameter": 16}
    return job_from_data({"units": units, "plate": plate, "bolt_circle": [table]}).flange.bolt_circles[0]


def single(**keys: object) -> SingleHole:
    return job_from_data({"plate": PLATE, "hole": [{"x": 0, "y": 0, **keys}]}).flange.single_holes[0]


def problem(**keys: object) -> str:
    with pytest.raises(InputError) as wrong:
        circle(**keys)  # type: ignore[arg-type] # whatever a person may write
    return "\n".join(wrong.value.lines())


@every_row(
    ("keys", "diameter"),
    [
        ({"bolt": "M20"}, 22.0),
        ({"bolt": "M20", "fit": "fine"}, 21.0),
        ({"bolt": "M20", "fit": "coarse"}, 24.0),
        ({"bolt": "M20", "fit": "loose"}, 24.0),
        ({"bolt": "M20", "hole_diameter": 23}, 23.0),
        ({"bolt": "M20", "hole_diameter": 23, "fit": "fine"}, 23.0),
        ({"bolt": "3/4"}, to_mm(13 / 16, Unit.IN)),
        ({"bolt": "3/4", "fit": "close"}, to_mm(25 / 32, Unit.IN)),
        ({"standard": "EN 1092-1 PN16 DN150"}, 22.0),
        ({"standard": "ASME B16.5 Class 150 NPS 6"}, to_mm(7 / 8, Unit.IN)),
        ({"standard": "ASME B16.5 Class 150 NPS 6", "fit": "normal"}, to_mm(13 / 16, Unit.IN)),
    ],
)
def test_the_diameter_is_the_written_one_then_the_standards_then_the_bolts(
    keys: dict[str, object], diameter: float
) -> None:
    assert circle(**keys).hole_diameter == pytest.approx(diameter)  # type: ignore[arg-type] # any keys


def test_where_a_size_comes_from_is_kept_for_the_sheet_only_if_it_was_looked_up() -> None:
    (found,) = circle(bolt="M20").drilling.looked_up
    assert (found.made, found.value, found.of, found.fit) == (Made.CLEARANCE_HOLE, 22.0, "M20", "medium")
    assert found.standard == "ISO 273"
    assert circle(bolt="M20", hole_diameter=22).drilling.looked_up == ()
    assert circle(hole_diameter=22).drilling.looked_up == ()


@every_row(
    ("keys", "kind", "diameter"),
    [
        ({"hole_diameter": 14}, DRILLED, 14.0),
        ({"kind": "tapped", "thread": "M16"}, Tapped("M16", 16.0), 14.0),
        # 3 pitches of 2 mm below the full thread for the lead of the tap (common practice, no source).
        ({"kind": "tapped", "thread": "M16", "depth": 20}, Tapped("M16", 16.0, 20.0, 26.0), 14.0),
        ({"kind": "tapped", "thread": "M16x1.5"}, Tapped("M16x1.5", 16.0), 14.5),
        ({"kind": "tapped", "thread": "M16", "tap_drill": 14.2}, Tapped("M16", 16.0), 14.2),
        ({"kind": "tapped", "bolt": "M16"}, Tapped("M16", 16.0), 14.0),
        ({"kind": "jack", "thread": "M12"}, Jack("M12", 12.0), 10.2),
        ({"kind": "countersunk", "bolt": "M10"}, Countersunk(22.4), 11.0),
        (
            {"kind": "countersunk", "hole_diameter": 9, "seat_diameter": 18, "seat_angle": 82},
            Countersunk(18.0, 82.0),
            9.0,
        ),
        ({"kind": "counterbored", "bolt": "M12"}, Counterbored(20.0, 12.6), 13.5),
        (
            {"kind": "counterbored", "hole_diameter": 14, "seat_diameter": 24, "seat_depth": 8},
            Counterbored(24.0, 8.0),
            14.0,
        ),
        ({"kind": "spotfaced", "bolt": "M16"}, Spotfaced(32.0), 17.5),
        ({"kind": "slot", "hole_diameter": 14, "slot_length": 30}, Slot(30.0), 14.0),
        (
            {"kind": "slot", "bolt": "M12", "slot_length": 30, "slot_along": "radius"},
            Slot(30.0, SlotDirection.RADIUS),
            13.5,
        ),
        ({"kind": "dowel", "hole_diameter": 12}, Dowel("H7", 0.0, 0.018), 12.0),
        ({"kind": "dowel", "hole_diameter": 12, "fit": "P7"}, Dowel("P7", -0.029, -0.011), 12.0),
    ],
)
def test_a_kind_is_what_its_keys_say(keys: dict[str, object], kind: HoleKind, diameter: float) -> None:
    made = circle(**keys)  # type: ignore[arg-type] # any keys
    assert made.kind == kind
    assert made.hole_diameter == pytest.approx(diameter)


def test_a_single_hole_takes_the_same_keys() -> None:
    assert single(kind="tapped", thread="1/4 NPT").drilling.kind == Tapped("1/4 NPT", to_mm(0.54, Unit.IN), tapers=True)
    assert single(bolt="M16", fit="coarse").drilling.diameter == 18.5
    (found,) = single(bolt="M16", fit="coarse").drilling.looked_up
    assert (found.standard, found.fit) == ("ISO 273", "coarse")


def test_inch_jobs_take_inch_threads_and_sizes() -> None:
    made = circle("in", kind="tapped", thread="5/8", depth="1 1/4")
    assert isinstance(made.kind, Tapped)
    sizes = made.kind.major_diameter, made.kind.depth, made.kind.drill_depth
    assert made.kind.thread == "5/8-11 UNC"
    assert sizes == pytest.approx([to_mm(size, Unit.IN) for size in (5 / 8, 1.25, 1.25 + 3 / 11)])


@every_row(
    ("keys", "words"),
    [
        ({}, "bolt_circle.hole_diameter: is missing; write for example"),
        ({"bolt": "stud"}, '"stud" names no bolt; write for example M20'),
        (
            {"bolt": "M20", "fit": "snug"},
            'bolt_circle.fit: "snug" is no fit; use fine, close, medium, normal, coarse',
        ),
        ({"kind": "tapped"}, 'bolt_circle.thread: is missing; write for example thread = "M16"'),
        ({"kind": "tapped", "thread": "M15"}, '"M15" is no thread of the tables'),
        (
            {"kind": "tapped", "thread": "M16", "hole_diameter": 14},
            "bolt_circle.hole_diameter: is the tap drill's",
        ),
        ({"kind": "tapped", "thread": "M16", "tap_drill": 16}, "a tap drill of 16 mm leaves no thread of M16"),
        ({"hole_diameter": 14, "thread": "M16"}, 'bolt_circle.thread: belongs to kind = "tapped", not "drilled"'),
        ({"hole_diameter": 14, "slot_length": 30}, 'bolt_circle.slot_length: belongs to kind = "slot", not "drilled"'),
        ({"kind": "slot", "hole_diameter": 14}, "bolt_circle.slot_length: is missing"),
        (
            {"kind": "slot", "hole_diameter": 14, "slot_length": 12},
            "a slot 12 mm long is not longer than its width",
        ),
        (
            {"kind": "countersunk", "hole_diameter": 9},
            "bolt_circle.seat_diameter: is missing, and the tables",
        ),
        ({"kind": "counterbored", "hole_diameter": 9, "seat_diameter": 15}, "bolt_circle.seat_depth: is missing"),
        ({"kind": "counterbored", "bolt": "M52"}, 'the tables have none for the bolt "M52"'),
        (
            {"kind": "spotfaced", "hole_diameter": 20, "seat_diameter": 18},
            "a spotface of 18 mm is not wider",
        ),
        (
            {"kind": "dowel", "hole_diameter": 12, "fit": "medium"},
            '"medium" has no published limits at 12 mm; use H6',
        ),
        ({"kind": "reamed", "hole_diameter": 12}, 'bolt_circle.kind: "reamed" is not possible; use'),
        (
            {"hole_diameter": 12, "pair_angle": 100},
            "bolt_circle.pair_angle: 8 holes cannot stand in pairs 100",
        ),
        ({"hole_diameter": 12, "angles": [0, 90], "hole_count": 2, "pair_angle": 10}, "has no meaning beside angles"),
    ],
)
def test_what_will_not_do_is_said_with_its_key_and_its_numbers(keys: dict[str, object], words: str) -> None:
    assert words in problem(**keys)
