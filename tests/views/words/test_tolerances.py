"""The block of tolerances: figures of the published tables, no length with two tolerances, accepted limits inward."""

import math
import re
import tomllib
from itertools import pairwise
from typing import Any

import pytest

from flangelayout.drawing.convention import Convention
from flangelayout.drawing.model import Dimension, LinearDimension
from flangelayout.files.templates import templates_folder
from flangelayout.flange.cutting import CutProcess
from flangelayout.flange.plate import Deviations, GeneralTolerance
from flangelayout.job.load import job_from_data
from flangelayout.packet.job import layout_pages
from flangelayout.packet.reports import form_packet
from flangelayout.standards.tolerances.general import general_ranges
from flangelayout.standards.tolerances.sizes import open_sizes
from flangelayout.units import Unit
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.tolerances import deviations_text, rounded_inward, tolerance_lines, tolerance_table
from flangelayout.writers.pdf import write_pdf
from jobs import make_job
from readers import pdf_pages_text
from rows import every_row, first_of
from views.sheet_items import items_of

MM = Lengths(Unit.MM, convention=Convention.ISO)


def template_data(name: str) -> dict[str, Any]:
    """The keys of a starter job."""
    return tomllib.loads((templates_folder() / f"{name}.toml").read_text(encoding="utf-8"))


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
            assert before.holds(after.over) is not after.holds(after.over)
            assert before.plus_minus <= after.plus_minus


# ISO 2768-1 tables 1 and 2 and ISO 13920 table 1: over the first, up to the second figure, the first of all taken in;
# ISO 9013:2017: from the first to below the second (as printed).
@every_row(
    ("general", "size", "allowed"),
    [
        (GeneralTolerance.ISO_2768_M, 0.5, 0.1),
        (GeneralTolerance.ISO_2768_M, 30.0, 0.2),
        (GeneralTolerance.ISO_2768_V, 3.0, 0.5),
        (GeneralTolerance.ISO_13920_B, 2.0, 1.0),
        (GeneralTolerance.ISO_13920_B, 400.0, 2.0),
        (GeneralTolerance.ISO_9013_1, 124.9, 0.3),
        (GeneralTolerance.ISO_9013_1, 125.0, 0.35),
    ],
)
def test_the_end_of_a_range_belongs_to_the_one_that_its_table_says(
    general: GeneralTolerance, size: float, allowed: float
) -> None:
    (found,) = (each for each in general_ranges(general, 8.0) if each.holds(size))
    assert found.plus_minus == allowed


# ISO 2768-1:1989 table 2, broken edges, as two printed lists have it.
@every_row(
    ("general", "allowed"),
    [
        (GeneralTolerance.ISO_2768_F, (0.2, 0.5, 1.0)),
        (GeneralTolerance.ISO_2768_M, (0.2, 0.5, 1.0)),
        (GeneralTolerance.ISO_2768_C, (0.4, 1.0, 2.0)),
        (GeneralTolerance.ISO_2768_V, (0.4, 1.0, 2.0)),
    ],
)
def test_chamfers_and_outer_radii_have_a_table_of_their_own(
    general: GeneralTolerance, allowed: tuple[float, ...]
) -> None:
    ranges = general_ranges(general, None, of_edges=True)
    held = tuple(each.plus_minus for size in (2.0, 5.0, 60.0) for each in ranges if each.holds(size))
    assert held == allowed


def test_cut_sizes_have_no_figures_without_a_thickness() -> None:
    assert general_ranges(GeneralTolerance.ISO_9013_1, None) == ()


def test_no_length_has_two_tolerances() -> None:
    # The chord of opposite holes is the bolt circle: one of the two holds for it.
    assert block({"bolt_circle": 1.0, "chord": 0.5}) == (("centers, any 2 of a circle", "±0.5"),)
    assert block({"bolt_circle": 0.3, "chord": 0.5}) == (("centers, any 2 of a circle", "±0.5"), ("but PCD", "±0.3"))
    assert block({"bolt_circle": 1.0}) == (("PCD", "±1"),)


def test_a_stated_position_stands_in_the_block_and_what_is_narrower_as_the_exception() -> None:
    """Two centers, each in a zone of 1 mm, are 1 mm off their distance at most; a larger hole widens it at MMC."""
    assert block({"position": 1.0}) == (("hole positions", "⌀1"),)
    assert block({"position": 1.0, "maximum_material": True}) == (("hole positions", "⌀1 at MMC"),)
    assert block({"position": 1.0, "chord": 0.5}) == (
        ("hole positions", "⌀1"),
        ("but centers, any 2 of a circle", "±0.5"),
    )
    assert block({"position": 1.0, "bolt_circle": 1.2}) == (("hole positions", "⌀1"),)
    wide = {"position": 1.0, "maximum_material": True, "hole_plus": 0.4, "hole_minus": 0.1}
    assert block(wide | {"bolt_circle": 1.4})[1] == ("but PCD", "±1.4")
    assert block(wide | {"bolt_circle": 1.5})[1] == ("⌀ of drilled holes", "+0.4/-0.1")
    assert block({"position": 1.0}, bolt_circle=[{"standard": "EN 1092-1 PN16 DN150"}]) == (("hole positions", "⌀1"),)


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


def test_a_stated_position_stands_on_check_card_and_form_which_alone_do_not_prove_it() -> None:
    """POS: a plate may be refused by its zones; the card's distances tell nothing of them."""
    stated = {"position": 1, "hole_plus": 0.4, "bore_plus": 0.3, "maximum_material": True}
    job = make_job(tolerances=stated)
    words = pdf_pages_text(write_pdf(layout_pages(job)))
    assert "Whether holes lie in the zones that the drawing states, an inspection of all readings tells." in words
    assert "all inside ACCEPT: use it" not in words
    (form,) = (text for name, text in form_packet(job, "T-1.toml").items() if name.endswith(".pdf"))
    assert "in a zone of ⌀1 at MMC (mm)" in pdf_pages_text(form)


def test_a_size_stands_on_the_sheet_with_the_decimals_that_the_block_tells_its_tolerance_by() -> None:
    plate = {"outside_diameter": "11.00", "bore": 6.72, "thickness": "1.00"}
    circle = [{"diameter": 9.5, "hole_count": 8, "hole_diameter": 0.875}]
    stated = {"block": [".XX = ±.03", ".XXX = ±.015"]}
    words = pdf_pages_text(
        write_pdf(layout_pages(make_job(units="in", plate=plate, bolt_circle=circle, tolerances=stated)))
    )
    assert {"⌀11.00", "1.00", "⌀6.720"} <= {*words.split()}
    assert "11.000" not in words


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
        ("cut edges", "ISO 9013-342, sizes as above"),
        ("surface", "gasket face Ra 3.2"),
        ("edges", "break 0.5"),
    )
    for cut, general in (("ISO 9013-342", "ISO 13920 B"), ("ISO 9013-340", "ISO 2768-1 m"), ("clean", "ISO 2768-1 m")):
        assert block({"cut_edges": cut, "general": general})[-1] == ("cut edges", cut), "no second class of lengths"
    assert block({"block": [".XX = ±.03", "ALL SIZES INCH"]}) == ((".XX", "±.03"), ("ALL SIZES INCH", ""))


MACHINED = {
    "plate": {
        "outside_diameter": 285,
        "bore": 170.5,
        "thickness": 22,
        "raised_face_diameter": 212,
        "raised_face_height": 3,
        "bore_chamfer": 2,
    },
    "turned": [{"kind": "register", "face": "back", "diameter": 200, "depth": 4, "fit": "H8"}],
}
LIMITED = {
    "bolt_circle": 0.8,
    "hole_plus": 0.4,
    "outside_plus": 1,
    "bore_plus": 0.3,
    "thickness_plus": 0.5,
}


def ranges(general: str, stated: dict[str, Any], **tables: Any) -> tuple[tuple[str, str], ...]:  # noqa: ANN401
    """The rows below that of a general tolerance."""
    rows = block({"general": general} | stated, **tables)
    (at,) = (place for place, (_, said) in enumerate(rows) if said == general)
    return tuple((what.strip(), allowed) for what, allowed in rows[at + 1 :])


def test_ranges_are_those_of_the_sizes_without_limits_of_their_own() -> None:
    """ISO 2768-1 m, tables 1 and 2, as printed: of raised face, its height, depth and chamfer; not of the rest."""
    assert ranges("ISO 2768-1 m", LIMITED, **MACHINED) == (
        ("0.5 to 6", "±0.1"),
        ("over 120 to 400", "±0.5"),
        ("chamfer 0.5 to 3", "±0.2"),
    )
    plain = {"plate": {"outside_diameter": 620, "bore": 200, "thickness": 35}}
    circle = {"diameter": 290, "hole_count": 8, "bolt": "M16", "kind": "counterbored"}
    held = LIMITED | {"bore_plus": 0.3}
    assert ranges("ISO 2768-1 m", held, bolt_circle=[circle], **plain) == (("over 6 to 30", "±0.2"),)
    assert ranges("ISO 2768-1 m", {}, bolt_circle=[circle], **plain) == (
        ("over 6 to 30", "±0.2"),
        ("over 30 to 120", "±0.3"),
        ("over 120 to 400", "±0.5"),
        ("over 400 to 1000", "±0.8"),
    )


def test_places_of_holes_are_left_to_a_general_tolerance_only_where_nothing_else_holds_them() -> None:
    """ISO 2768-1 clause 1: not of exact sizes, which those of a position are, nor where another standard holds."""
    plate = {"plate": {"outside_diameter": 1200, "thickness": 22}}
    widest = ("over 400 to 1000", "±0.8")
    circle = {"bolt_circle": [{"diameter": 900, "hole_count": 8, "hole_diameter": 22}]}
    assert widest in ranges("ISO 2768-1 m", {}, **plate, **circle)
    for stated in ({"position": 1}, {"chord": 0.5}, {"bolt_circle": 0.5}):
        assert widest not in ranges("ISO 2768-1 m", stated, **plate, **circle)
    single = {"bolt_circle": [], "hole": [{"x": 450, "y": 0, "diameter": 22}]}
    assert widest in ranges("ISO 2768-1 m", {}, **plate, **single)
    assert widest not in ranges("ISO 2768-1 m", {"position": 1}, **plate, **single)


def test_tolerances_of_cuts_and_of_welds_are_told_of_those_sizes_alone() -> None:
    """ISO 9013:2017 class 2, cut 15 to 20 mm thick, and ISO 13920 B, as printed; never of what is turned or drilled."""
    tables = MACHINED | {"plate": MACHINED["plate"] | {"thickness": 20}}  # type: ignore[operator]
    for general, name, row in (
        ("ISO 9013 class 2", "cut sizes", ("125 to under 315", "±1.9")),
        ("ISO 13920 B", "welded sizes", ("over 120 to 400", "±2")),
    ):
        assert (name, general) in block({"general": general}, **tables)
        assert ranges(general, {}, **tables) == (row,)
        assert ranges(general, {"outside_plus": 1, "bore_plus": 1}, **tables) == ()


def test_holes_that_heat_cuts_are_cut_sizes() -> None:
    """ISO 9013:2017 class 2, cut 10 to 15 mm thick, 10 to under 35 mm: 1.8 mm as printed."""
    flange = make_job(
        tolerances={"general": "ISO 9013 class 2"}, plate={"outside_diameter": 285, "thickness": 12}
    ).flange
    (said,) = set(tolerance_table(flange, MM, CutProcess.PLASMA).rows) - set(tolerance_table(flange, MM).rows)
    assert said == ("  10 to under 35", "±1.8")


def test_a_card_leaves_a_circle_of_which_no_two_holes_stand_across_to_an_inspection() -> None:
    """The jaws find no diameter of five holes; of six three (plain geometry)."""
    for count, is_left in ((5, True), (6, False), (2, False)):
        circle = {"diameter": 200, "hole_count": count, "hole_diameter": 18}
        words = pdf_pages_text(write_pdf(layout_pages(make_job(bolt_circle=[circle], tolerances={"bolt_circle": 0.2}))))
        told = "Whether bolt circle keeps its diameter, an inspection of all readings tells: no two holes stand across."
        assert (told in words) is is_left, count


def test_that_nothing_is_stated_is_said_only_where_nothing_is_known() -> None:
    def said(**tables: Any) -> tuple[str, ...]:  # noqa: ANN401 - tables of any kind
        return tolerance_lines(make_job(**tables).flange, Unit.MM)

    assert said() == ("Drilling tolerance not stated: ask before drilling",)
    sheet = {"outside_diameter": 285, "bore": 160, "material": "rubber sheet"}
    assert said(plate=sheet) == ("Tolerance of the holes not stated: ask before cutting",)
    for stated in ({"chord": 0.5}, {"position": 1.0}, {"general": "ISO 2768-1 m"}, {"block": [".X = ±.1"]}):
        assert said(tolerances=stated) == ()
    # ISO 9013 is of thermal cuts, ISO 13920 of what is welded: neither says how exactly a hole is drilled.
    for stated in ({"general": "ISO 13920 B"}, {"general": "ISO 9013 class 2"}):
        assert said(tolerances=stated) == said()
    assert said(bolt_circle=[{"standard": "EN 1092-1 PN16 DN150"}]) == ()
    assert said(bolt_circle=[], plate={"outside_diameter": 200, "bore": 100}) == ()


def test_deviations_are_written_both_ways() -> None:
    assert deviations_text(Deviations(0.3, 0.3), MM) == "±0.3"
    assert deviations_text(Deviations(0.0, 1.0), MM) == "0/-1"
    assert deviations_text(Deviations(0.508, 0.0), Lengths(Unit.IN, convention=Convention.ASME)) == "+.020/0"


def test_no_limit_is_written_wider_than_the_job_states_it() -> None:
    """0.025 mm is no 0.03; 0.0127 mm is .0005 in, which three decimals would make .001."""
    inches = Lengths(Unit.IN, convention=Convention.ASME)
    assert deviations_text(Deviations(0.025, 0.0), MM) == "+0.025/0"
    assert deviations_text(Deviations(0.0127, 0.0254), inches) == "+.0005/-.001"
    both = Lengths(Unit.MM, True, Convention.ISO)
    assert deviations_text(Deviations(0.3, 0.3), both) == "±0.3 [0.011]"
    assert deviations_text(Deviations(1.0, 0.02), both) == "+1 [0.039]/-0.02 [0.0007]"
    assert deviations_text(Deviations(0.762, 0.0254), Lengths(Unit.IN, True, Convention.ASME)) == (
        "+.030 [0.76]/-.001 [0.025]"
    )
    assert block({"chord": 0.025}) == (("centers, any 2 of a circle", "±0.025"),)


def test_what_is_accepted_is_rounded_inward() -> None:
    # 112.89 -0.5/+0.5 is 112.39 to 113.39: a reading of 112.4 passes, one of 113.4 does not.
    assert rounded_inward(112.39, 113.39, Unit.MM, 1) == pytest.approx((112.4, 113.3))
    assert rounded_inward(100.0, 100.5, Unit.MM, 1) == pytest.approx((100.0, 100.5))


@pytest.mark.parametrize("name", first_of(["lugged-ring", "machined-flange", "shaped-plate"]))
def test_the_general_tolerance_is_told_of_the_sizes_that_the_sheet_shows(name: str) -> None:
    """Every size drawn without brackets is one it holds for, and every size it holds for is printed."""
    job = job_from_data(template_data(name) | {"tolerances": {"general": "ISO 2768-1 m"}})
    pages = layout_pages(job)
    told = {round(each.length, 3) for each in open_sizes(job.flange)}
    drawn = [each.what for each in items_of(pages.sheets[0]) if isinstance(each.what, LinearDimension)]
    assert drawn
    assert {round(abs(_measured(each)), 3) for each in drawn if not each.text.startswith("(")} <= told
    words = pdf_pages_text(write_pdf(pages))
    for size in told:
        written = "|".join(map(re.escape, (MM.decimal(size), MM.size(size))))
        assert re.search(rf"(?<![\d.])({written})(?!\d)", words), size


def _measured(what: LinearDimension) -> float:
    step, turn = what.end - what.start, math.radians(what.angle_deg)
    return step.x * math.cos(turn) + step.y * math.sin(turn)


@pytest.mark.parametrize(
    ("name", "shown"),
    first_of(
        [
            ("lugged-ring", {"⌀200 +0.8/-0.7", "⌀154 +0.3/-0.1 BORE", "199.30 – 200.80", "153.90 – 154.30"}),
            ("figure-8-blind", {"2 × ⌀158 +0.8/-0.7", "⌀107.1 +0.3/-0.1"}),
            ("segment-ring", {"R600 +0.4/-0.35", "R500 +0.15/-0.05"}),
            ("split-ring", {"+0.8/-0.7", "+0.3/-0.1 INSIDE", "359.30 – 360.80", "219.90 – 220.30"}),
            ("paddle-spacer", {"+0.8/-0.7", "+0.3/-0.1 BORE"}),
        ]
    ),
)
def test_limits_of_outside_and_bore_stand_at_whatever_is_outside_and_inside(name: str, shown: set[str]) -> None:
    """On the sheet and, where distances of holes are measured as well, on its check card."""
    stated = {"outside_plus": 0.8, "outside_minus": 0.7, "bore_plus": 0.3, "bore_minus": 0.1}
    pages = layout_pages(job_from_data(template_data(name) | {"tolerances": stated}))
    words = pdf_pages_text(write_pdf(pages))
    assert {text for text in shown if text not in words} == set()


def test_limits_stand_behind_the_sizes_they_belong_to() -> None:
    stated = {"outside_plus": 1, "outside_minus": 1, "bore_plus": 0.3, "thickness_minus": 0.2}
    items = layout_pages(make_job(tolerances=stated)).sheets[0].views[0].drawing.items
    told = [item.what.text for item in items if isinstance(item.what, Dimension)]
    assert {"⌀285 ±1", "⌀170 +0.3/0 BORE", "22 0/-0.2"} <= {text for text in told if isinstance(text, str)}
