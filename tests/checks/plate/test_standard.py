"""A circle that names a row against the row: each figure, and that a shortage of the row's own is none of the job's."""

from typing import Any

from checking import Rows, failed, of_rule, plate_of, said, shop
from flangelayout.checks import Finding, Result, Rule
from flangelayout.flange import BoltCircle, Tapped
from flangelayout.standards import find
from jobs import bolt_circle, make_job
from rows import every_row

ROW: Rows = (find("EN 1092-1 PN16 DN150"),)  # 240 mm, 8 holes of 22 mm, M20, outside diameter 285 mm


def unlike(circle: BoltCircle) -> list[Finding]:
    found = of_rule(shop(plate_of(circle), named=ROW), Rule.AS_STANDARD)
    return [each for each in found if each.failed]


def test_every_figure_of_the_row_is_listed_and_passes() -> None:
    found = of_rule(shop(plate_of(bolt_circle(bolt="M20")), named=ROW), Rule.AS_STANDARD)
    assert {each.result for each in found} == {Result.PASSED}
    assert [each.value for each in found] == [240.0, 8.0, 22.0, None]


@every_row(
    ("changes", "key", "words"),
    [
        ({"diameter": 241.3}, "bolt_circle.diameter", "bolt circle 241.3 (240)"),
        ({"diameter": 240.01}, "bolt_circle.diameter", "bolt circle 240.01 (240)"),
        ({"hole_count": 6}, "bolt_circle.hole_count", "6 holes (8)"),
        ({"skipped": (3,)}, "bolt_circle.skip", "1 place not drilled"),
        ({"hole_diameter": 18.0}, "bolt_circle.hole_diameter", "hole 18 (22)"),
        ({"angles": (0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 310.0)}, "bolt_circle.angles", "neighbors "),
    ],
)
def test_a_figure_that_is_not_the_rows_fails(changes: dict[str, Any], key: str, words: str) -> None:
    (found,) = unlike(bolt_circle(**changes))
    assert found.place.key == key
    text = said(plate_of(bolt_circle(**changes)), found)
    assert text.startswith("bolt circle: not as EN 1092-1 PN16 DN150: ")
    assert words in text


def test_figures_as_the_row_prints_them_pass() -> None:
    assert unlike(bolt_circle(diameter=240.004)) == []


def test_tapped_holes_are_no_holes_of_the_row() -> None:
    assert unlike(bolt_circle(hole_diameter=17.5, kind=Tapped("M20", 20.0))) == []


def test_the_job_of_a_contradicted_standard_fails() -> None:
    # The figures that were printed as "Drilled to match EN 1092-1 PN16 DN150" before.
    circle = {"standard": "EN 1092-1 PN16 DN150", "diameter": 160, "hole_count": 6, "hole_diameter": 30, "bolt": "M27"}
    job = make_job(plate={"outside_diameter": 285, "bore": 80, "thickness": 22}, bolt_circle=[circle])
    keys = [each.place.key for each in job.remarks if each.rule is Rule.AS_STANDARD]
    assert keys == ["bolt_circle.diameter", "bolt_circle.hole_count", "bolt_circle.hole_diameter"]


def test_a_measured_circle_does_not_switch_the_nut_seats_off() -> None:
    # Nuts of M27 (47.34 mm across corners) on a circle of 160 over a bore of 120: 80 - 23.67 - 60 < 0.
    circle = {"hole_count": 6, "hole_diameter": 30, "bolt": "M27"}
    plate = {"outside_diameter": 285, "bore": 120, "thickness": 22}
    reading = {"kind": "centers", "value": 80.0, "from": 1, "to": 2}
    across = {"kind": "centers", "value": 160.0, "from": 1, "to": 4}
    survey = {"hole_diameter": 30, "reading": [reading, across]}
    written = make_job(plate=plate, bolt_circle=[circle | {"diameter": 160}])
    measured = make_job(plate=plate, bolt_circle=[circle | {"diameter": "measured"}], survey=survey)
    for job in (written, measured):
        assert Rule.SEAT_CLEAR_OF_BORE in [each.rule for each in job.findings if each.failed]


@every_row(
    ("name", "rule"),
    [
        # ASME B16.5 Class 150 NPS 22: nuts of 1 1/4 in, 2.309 in across corners (ASME B18.2.2), stand over the rim.
        ("ASME B16.5 Class 150 NPS 22", Rule.SEAT_ON_PLATE),
        # ASME B16.47 Series B Class 300 NPS 52: 3.908 in from bolt to bolt, and TEMA D-5 wants 4 in.
        ("ASME B16.47 Series B Class 300 NPS 52", Rule.WRENCH_ROOM),
    ],
)
def test_a_shortage_that_the_row_has_itself_passes_only_where_every_figure_is_the_rows(name: str, rule: Rule) -> None:
    row = find(name)
    assert row.hole_diameter is not None
    assert row.outside_diameter is not None
    circle = BoltCircle(row.bolt_circle, row.hole_count, row.hole_diameter, bolt=row.bolt or "")
    plate = plate_of(circle, outside_diameter=row.outside_diameter, bore=None, thickness=80.0)
    assert failed(plate) == [rule]
    assert failed(plate, named=(row,)) == []
    (passed,) = (each for each in shop(plate, named=(row,)) if each.rule is rule)
    assert passed.limit is not None
    assert passed.value == passed.limit.value
    assert row.designation in said(plate, passed)
    smaller = plate_of(circle, outside_diameter=row.outside_diameter - 1.0, bore=None, thickness=80.0)
    assert (rule in failed(smaller, named=(row,))) == (rule is Rule.SEAT_ON_PLATE)
