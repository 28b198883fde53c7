"""What of a plate is said in words: openings, single holes, joints."""

from typing import Any

from flangelayout.drawing.convention import Convention
from flangelayout.flange import DRILLED, Drilling, Flange, HoleKind, RoundOutline, SingleHole, SplitOutline, Tapped
from flangelayout.geometry.shapes import Point
from flangelayout.job.load import job_from_data
from flangelayout.units import Unit
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.plate import (
    corner_tables,
    opening_call_out,
    place_words,
    plate_notes,
    single_hole_call_out,
)
from rows import every_row

MM = Lengths(Unit.MM, convention=Convention.ISO)


def told(**opening: Any) -> tuple[str, ...]:  # noqa: ANN401 - keys of any kind
    """The call-out of an opening as a job gives it."""
    return opening_call_out(
        job_from_data({"plate": {"outside_diameter": 400}, "opening": [opening]}).flange.openings, MM
    )


@every_row(
    ("opening", "lines"),
    [
        ({"shape": "circle", "diameter": 20, "x": 0, "y": 0}, ("OPENING", "⌀20", "IN THE CENTER")),
        (
            {"shape": "rectangle", "width": 80, "height": 40, "corner_radius": 8, "x": -30, "y": 12.5, "name": "cable"},
            ("OPENING (CABLE)", "80 × 40, CORNERS R8", "12.5 ABOVE CENTER", "30 LEFT OF CENTER"),
        ),
        (
            {"shape": "slot", "width": 14, "length": 50, "radius": 100, "angle": 90, "count": 4},
            ("4 × OPENING", "SLOT 14 × 50", "EQUALLY SPACED ON PCD 200", "ONE AT TOP", "ALONG RADIUS"),
        ),
        (
            {"shape": "window", "inner_diameter": 60, "outer_diameter": 110, "sweep": 40, "count": 5, "angle": 100},
            ("5 × OPENING", "FROM ⌀60 TO ⌀110, 40° WIDE", "ONE 10° CCW OF TOP"),
        ),
    ],
)
def test_an_opening_is_told_by_its_sizes_and_its_place(opening: dict[str, Any], lines: tuple[str, ...]) -> None:
    assert told(**opening) == lines


def test_a_place_on_a_centerline_is_told_by_the_other_measure() -> None:
    assert place_words(Point(0.0, -20.0), MM) == "ON VERTICAL CENTERLINE, 20 BELOW CENTER"
    assert place_words(Point(7.25, 0.0), MM) == "ON HORIZONTAL CENTERLINE, 7.25 RIGHT OF CENTER"


@every_row(
    ("kind", "lines"),
    [
        (DRILLED, ("X1, X2 (VENT, DRAIN): 2 × ⌀14",)),
        (Tapped("M16", 16.0, 20.0, 26.0), ("X1, X2 (VENT, DRAIN): 2 × M16 × 20/⌀14 × 26", "FROM PUMP FACE")),
    ],
)
def test_single_holes_alike_are_told_together_and_from_which_face(kind: HoleKind, lines: tuple[str, ...]) -> None:
    holes = (
        SingleHole(Point(0.0, 90.0), Drilling(14.0, kind, "vent")),
        SingleHole(Point(0.0, -90.0), Drilling(14.0, kind, "drain")),
    )
    flange = Flange(RoundOutline(300.0), (), single_holes=holes, thickness=40.0, face="pump face")
    assert single_hole_call_out(flange.holes(), flange, MM, in_table=False) == lines
    assert single_hole_call_out(flange.holes(), flange, MM, in_table=True)[-1] == "PLACES PER HOLE TABLE"


def test_joints_are_told() -> None:
    flange = Flange(SplitOutline(360.0, 220.0, 2, 90.0, 2.0, "two M16 bolts through welded lugs"), ())
    assert list(plate_notes(flange)) == ["Joints: two M16 bolts through welded lugs"]


def test_the_corners_of_a_long_path_stand_in_a_table() -> None:
    # A comb of eight teeth, every corner at a place of its own; the first corner rounded.
    xs = [8.0 * number for number in range(9)]
    teeth = [(x, y) for x in reversed(xs) for y in ((90.0, 80.0) if (x / 8) % 2 else (80.0, 90.0))]
    path: list[dict[str, Any]] = [
        {"x": -20, "y": -20, "corner_radius": 5},
        {"x": 70, "y": -20},
        *({"x": x, "y": y} for x, y in teeth),
    ]
    flange = job_from_data({"plate": {"outline": "path", "path": path, "thickness": 10}}).flange
    (table,) = corner_tables(flange, MM)
    assert len(table.rows) == len(path)
    assert {(x, y) for _, x, y, _ in table.rows} == {(f"{at['x']:.2f}", f"{at['y']:.2f}") for at in path}
    assert [row[3] for row in table.rows].count("R5") == 1
    assert corner_tables(Flange(RoundOutline(300.0), ()), MM) == ()
