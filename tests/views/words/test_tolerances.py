"""The block of tolerances: figures of the published tables, no length with two tolerances, accepted limits inward."""

from itertools import pairwise
from typing import Any

import pytest

from flangelayout.drawing.convention import Convention
from flangelayout.flange.plate import Deviations, GeneralTolerance
from flangelayout.standards.tolerances.general import general_ranges
from flangelayout.units import Unit
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.tolerances import deviations_text, rounded_inward, tolerance_lines, tolerance_table
from jobs import make_job
from rows import every_row

MM = Lengths(Unit.MM, convention=Convention.ISO)


def block(tolerances: dict[str, Any], **tables: Any) -> tuple[tuple[str, ...], ...]:  # noqa: ANN401 - tables of any kind
    return tolerance_table(make_job(tolerances=tolerances, **tables).flange, MM).rows


# ISO 2768-1:1989 table 1; ISO 13920 table 1; ISO 9013:2017, limit deviations of class 1 and 2 (as printed).
@every_row(
    ("general", "thickness", "size", "allowed"),
    [
        (GeneralTolerance.ISO_2768_F, None, 30.0, 0.1),
        (GeneralTolerance.ISO_2768_F, None, 30.1, 0.15),
        (GeneralTolerance.ISO_2768_M, None, 5.0, 0.1),
        (GeneralTolerance.ISO_2768_M, None, 285.0, 0.5),
        (GeneralTolerance.ISO_2768_M, None, 1000.0, 0.8),
        (GeneralTolerance.ISO_2768_C, None, 285.0, 1.2),
        (GeneralTolerance.ISO_2768_V, None, 285.0, 2.5),
        (GeneralTolerance.ISO_13920_A, None, 285.0, 1.0),
        (GeneralTolerance.ISO_13920_B, None, 500.0, 3.0),
        (GeneralTolerance.ISO_13920_C, None, 500.0, 6.0),
        (GeneralTolerance.ISO_13920_D, None, 500.0, 9.0),
        (GeneralTolerance.ISO_9013_1, 8.0, 200.0, 0.35),
        (GeneralTolerance.ISO_9013_1, 5.0, 200.0, 0.3),
    ],
)
def test_a_general_tolerance_allows_what_its_table_prints(
    general: GeneralTolerance, thickness: float | None, size: float, allowed: float
) -> None:
    (found,) = (each for each in general_ranges(general, thickness) if each.holds(size))
    assert found.plus_minus == allowed


@every_row("general", list(GeneralTolerance))
def test_the_ranges_of_a_class_follow_each_other_and_widen(general: GeneralTolerance) -> None:
    for thickness in (None,) if "9013" not in general.value else (0.5, 5.0, 22.0, 80.0, 150.0):
        ranges = general_ranges(general, thickness)
        assert len(ranges) >= 4
        for before, after in pairwise(ranges):
            assert before.to == after.over
            assert before.plus_minus <= after.plus_minus


def test_cut_sizes_have_no_figures_without_a_thickness() -> None:
    assert general_ranges(GeneralTolerance.ISO_9013_1, None) == ()


def test_no_length_has_two_tolerances() -> None:
    # The chord of opposite holes is the bolt circle: one of the two holds for it.
    assert block({"bolt_circle": 1.0, "chord": 0.5}) == (("centers, any 2 of a circle", "±0.5"),)
    assert block({"bolt_circle": 0.3, "chord": 0.5}) == (("centers, any 2 of a circle", "±0.5"), ("but PCD", "±0.3"))
    assert block({"bolt_circle": 1.0}) == (("PCD", "±1"),)


def test_the_tolerance_of_a_standard_is_offered_by_its_name() -> None:
    # ASME B16.5, drilling tolerances as two lists of them print: bolt circle 1.5 mm or 0.06 in, neighbors 0.8 or 0.03.
    circle = [{"standard": "ASME B16.5 Class 150 NPS 6"}]
    plate = {"outside_diameter": 280, "bore": 170, "thickness": 25}
    rows = block({}, bolt_circle=circle, plate=plate)
    assert rows == (("neighbors", "±0.8"), ("PCD", "±1.5"), ("taken from", "ASME B16.5"))
    assert block({"chord": 0.5}, bolt_circle=circle, plate=plate) == (("centers, any 2 of a circle", "±0.5"),)


@every_row(
    ("designation", "lengths", "neighbors", "circle"),
    [
        ("ASME B16.5 Class 150 NPS 6", Lengths(Unit.IN, False, Convention.ASME), "±.030", "±.060"),
        ("ASME B16.5 Class 150 NPS 6", Lengths(Unit.IN, True, Convention.ASME), "±.030 [0.8]", "±.060 [1.5]"),
        ("ASME B16.5 Class 150 NPS 6", Lengths(Unit.MM, True, Convention.ISO), "±0.8 [0.030]", "±1.5 [0.060]"),
        # EN 1092-1 has millimeters alone: 0.5 and 1 are .01969 and .03937 in, of which no more is offered.
        ("EN 1092-1 PN16 DN150", Lengths(Unit.IN, False, Convention.ASME), "±.019 (0.5 mm)", "±.039 (1 mm)"),
        ("EN 1092-1 PN16 DN150", Lengths(Unit.IN, True, Convention.ASME), "±.019 [0.5]", "±.039 [1]"),
    ],
)
def test_an_inch_sheet_offers_the_inch_figures_of_a_standard(
    designation: str, lengths: Lengths, neighbors: str, circle: str
) -> None:
    """ASME B16.5, drilling tolerances as two lists of them print: 0.06 in and 0.03 in, 1.5 mm and 0.8 mm."""
    job = make_job(bolt_circle=[{"standard": designation}], plate={"outside_diameter": 285, "bore": 100})
    _, *shown = zip(*tolerance_table(job.flange, lengths).rows, strict=True)
    assert shown[0][:2] == (neighbors, circle)


def test_a_metric_general_tolerance_on_an_inch_sheet_shows_its_own_figure() -> None:
    """ISO 2768-1 table 1, class m: 0.5 mm over 120 to 400 mm, which is .0197 in."""
    flange = make_job(tolerances={"general": "ISO 2768-1 m"}).flange
    allowed = [said for _, said in tolerance_table(flange, Lengths(Unit.IN, False, Convention.ASME)).rows]
    assert "±.019 (0.5 mm)" in allowed


def test_everything_stated_stands_in_the_block_once() -> None:
    stated = {
        "chord": 0.5,
        "hole_plus": 0.4,
        "bore_plus": 0.1,
        "general": "ISO 2768-1 m",
        "cut_edges": "ISO 9013-342",
        "texture": "gasket face Ra 3.2",
        "edges": "break 0.5",
    }
    assert block(stated) == (
        ("centers, any 2 of a circle", "±0.5"),
        ("⌀ of drilled holes", "+0.4/0"),
        ("other sizes", "ISO 2768-1 m"),
        ("  over 6 to 30", "±0.2"),
        ("  over 120 to 400", "±0.5"),
        ("cut edges", "ISO 9013-342"),
        ("surface", "gasket face Ra 3.2"),
        ("edges", "break 0.5"),
    )
    assert block({"block": [".XX = ±.03", "ALL SIZES INCH"]}) == ((".XX", "±.03"), ("ALL SIZES INCH", ""))


def test_that_nothing_is_stated_is_said_only_where_nothing_is_known() -> None:
    def said(**tables: Any) -> tuple[str, ...]:  # noqa: ANN401 - tables of any kind
        return tolerance_lines(make_job(**tables).flange, Unit.MM)

    assert said() == ("Drilling tolerance not stated: ask before drilling",)
    for stated in ({"chord": 0.5}, {"general": "ISO 13920 B"}, {"block": [".X = ±.1"]}):
        assert said(tolerances=stated) == ()
    assert said(bolt_circle=[{"standard": "EN 1092-1 PN16 DN150"}]) == ()
    assert said(bolt_circle=[], plate={"outside_diameter": 200, "bore": 100}) == ()


def test_deviations_are_written_both_ways() -> None:
    assert deviations_text(Deviations(0.3, 0.3), MM) == "±0.3"
    assert deviations_text(Deviations(0.0, 1.0), MM) == "0/-1"
    assert deviations_text(Deviations(0.508, 0.0), Lengths(Unit.IN, convention=Convention.ASME)) == "+.020/0"


def test_what_is_accepted_is_rounded_inward() -> None:
    # 112.89 -0.5/+0.5 is 112.39 to 113.39: a reading of 112.4 passes, one of 113.4 does not.
    assert rounded_inward(112.39, 113.39, Unit.MM, 1) == pytest.approx((112.4, 113.3))
    assert rounded_inward(100.0, 100.5, Unit.MM, 1) == pytest.approx((100.0, 100.5))


def test_limits_stand_behind_the_sizes_they_belong_to() -> None:
    from flangelayout.drawing.model import Dimension
    from flangelayout.packet.job import layout_pages

    stated = {"outside_plus": 1, "outside_minus": 1, "bore_plus": 0.3, "thickness_minus": 0.2}
    items = layout_pages(make_job(tolerances=stated)).sheets[0].views[0].drawing.items
    told = [item.what.text for item in items if isinstance(item.what, Dimension)]
    assert {"⌀285 ±1", "⌀170 +0.3/0 BORE", "22 0/-0.2"} <= {text for text in told if isinstance(text, str)}
