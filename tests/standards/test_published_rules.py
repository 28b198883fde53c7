"""Rules that hold without exception in the published tables; each names the standard it is from."""

from itertools import pairwise

import pytest

from flangelayout.flange import chord_across
from flangelayout.standards import Family, Pattern, all_patterns
from flangelayout.units import Unit, from_mm
from rows import every_row

PIPE = [pattern for pattern in all_patterns() if pattern.family is Family.PIPE_FLANGE]
# Pipe outside diameters in mm: ASME B36.10M to NPS 48 and EN 10220 series 1 agree within 2 mm but for DN 65 and
# DN 125, where the larger of the two stands (the harder test).
PIPE_OUTSIDE = {
    **{10: 17.3, 15: 21.7, 20: 27.2, 25: 34.0, 32: 42.7, 40: 48.6, 50: 60.5, 65: 76.3, 80: 89.1, 90: 101.6, 100: 114.3},
    **{125: 141.3, 150: 168.3, 200: 219.1, 250: 273.0, 300: 323.9, 350: 355.6, 400: 406.4, 450: 457.2, 500: 508.0},
    **{600: 610.0, 700: 711.0, 800: 813.0, 900: 914.0, 1000: 1016.0, 1200: 1219.0},
}
DN_OF_NPS = {"1/2": 15, "3/4": 20, "1 1/4": 32, "1 1/2": 40, "2 1/2": 65, "3 1/2": 90, "1": 25, "2": 50, "3": 80}


def nominal(pattern: Pattern) -> int:
    """The DN of a pipe flange's row."""
    if pattern.size.startswith("NPS "):
        nps = pattern.size.removeprefix("NPS ")
        return DN_OF_NPS.get(nps) or 25 * int(nps)
    return int(pattern.size.strip("DNA"))


def rows(standard: str, grade: str) -> dict[int, Pattern]:
    """The rows of one grade by DN."""
    return {nominal(p): p for p in all_patterns() if (p.standard, p.grade) == (standard, grade)}


def drilling(pattern: Pattern) -> tuple[object, ...]:
    return (
        pattern.outside_diameter,
        pattern.bolt_circle,
        pattern.hole_count,
        pattern.hole_diameter,
        pattern.bolt,
    )


def test_pipe_flanges_have_a_multiple_of_four_holes() -> None:
    """ASME B16.5 section 6 and EN 1092-1 clause 5: bolt holes in multiples of four, straddling the centerlines."""
    assert [p.designation for p in PIPE if p.hole_count % 4] == []


def test_holes_lie_inside_the_outside_diameter_and_do_not_touch() -> None:
    """Geometry every published table meets."""
    for p in PIPE:
        assert p.hole_diameter is not None
        assert p.outside_diameter is not None
        assert p.bolt_circle < p.outside_diameter - p.hole_diameter, p
        assert p.hole_diameter < chord_across(p.bolt_circle, p.hole_count), p


def test_the_pipe_passes_inside_the_holes() -> None:
    """Pipe outside diameters of ASME B36.10M, EN 10220 and JIS G 3452."""
    checked = 0
    for p in PIPE:
        outside = PIPE_OUTSIDE.get(nominal(p))
        if outside is not None and p.hole_diameter is not None:
            checked += 1
            assert outside < p.bolt_circle - p.hole_diameter, p
    assert checked > 700


def test_raised_faces_are_clear_of_the_holes() -> None:
    """Geometry every published table meets; ASME B16.47 B Class 75 NPS 26 and 28 print faces that touch the holes."""
    faced = [p for p in PIPE if p.raised_face_diameter is not None]
    assert len(faced) > 500
    for p in faced:
        assert p.raised_face_diameter is not None
        assert p.hole_diameter is not None
        assert p.raised_face_diameter <= p.bolt_circle - p.hole_diameter + 1e-9, p


@every_row(
    ("one", "other", "largest"),
    [
        (("ASME B16.1", "Class 125"), ("ASME B16.5", "Class 150"), 600),
        (("ASME B16.1", "Class 250"), ("ASME B16.5", "Class 300"), 600),
        (("AWWA C207", "Class B"), ("ASME B16.5", "Class 150"), 600),
        (("AWWA C207", "Class D"), ("ASME B16.5", "Class 150"), 600),
        (("AWWA C207", "Class E"), ("ASME B16.5", "Class 150"), 600),
        (("AWWA C207", "Class D"), ("ASME B16.47 Series A", "Class 150"), 1500),
        (("ASME B16.5", "Class 400"), ("ASME B16.5", "Class 600"), 90),
        (("ASME B16.5", "Class 900"), ("ASME B16.5", "Class 1500"), 65),
    ],
)
def test_drillings_published_as_the_same_are_the_same(
    one: tuple[str, str], other: tuple[str, str], largest: int
) -> None:
    """ASME B16.1, B16.5 notes to the class tables and AWWA C207: these bolt up to each other."""
    first, second = rows(*one), rows(*other)
    common = [dn for dn in first if dn in second and dn <= largest]
    assert len(common) >= 6
    assert [dn for dn in common if drilling(first[dn]) != drilling(second[dn])] == []


def test_awwa_classes_share_circle_and_outside_diameter() -> None:
    """AWWA C207: classes B, D and E have one drilling."""
    b, d, e = (rows("AWWA C207", f"Class {letter}") for letter in "BDE")
    assert len(b) == 41
    assert {dn: drilling(p) for dn, p in b.items()} == {dn: drilling(p) for dn, p in d.items()}
    assert {dn: drilling(p) for dn, p in b.items()} == {dn: drilling(p) for dn, p in e.items()}


@every_row("pressure", ["2.5", "6", "10", "16", "25", "40", "63", "100", "160"])
def test_en_1092_1_grows_with_size(pressure: str) -> None:
    """EN 1092-1: outside diameter and bolt circle rise strictly with DN."""
    table = rows("EN 1092-1", f"PN {pressure}")
    for small, large in pairwise(sorted(table)):
        assert table[small].bolt_circle < table[large].bolt_circle
        assert (table[small].outside_diameter or 0) < (table[large].outside_diameter or 0)


def test_en_1092_1_never_shrinks_with_pressure() -> None:
    """EN 1092-1: outside diameter and bolt circle never fall with PN."""
    pressures = ["2.5", "6", "10", "16", "25", "40", "63", "100", "160"]
    tables = [rows("EN 1092-1", f"PN {pressure}") for pressure in pressures]
    compared = 0
    for low, high in pairwise(tables):
        for dn in low.keys() & high.keys():
            compared += 1
            assert low[dn].bolt_circle <= high[dn].bolt_circle, (low[dn], high[dn])
            assert (low[dn].outside_diameter or 0) <= (high[dn].outside_diameter or 0), (low[dn], high[dn])
    assert compared > 150


@every_row(
    ("sizes", "pressures"),
    [
        ((10, 15, 20, 25, 32, 40, 50, 65, 80), ("10", "16", "25", "40")),
        ((100, 125, 150), ("10", "16")),
        ((100, 125, 150), ("25", "40")),
    ],
)
def test_en_1092_1_shares_small_sizes_between_pressures(sizes: tuple[int, ...], pressures: tuple[str, ...]) -> None:
    """EN 1092-1: the small sizes of several PN are one flange."""
    first, *others = (rows("EN 1092-1", f"PN {pressure}") for pressure in pressures)
    for other in others:
        assert [drilling(first[dn]) for dn in sizes] == [drilling(other[dn]) for dn in sizes]


def test_en_1092_1_bolts_and_holes_go_together() -> None:
    """EN 1092-1: one hole to each bolt."""
    hole_of = {
        **{"M10": 11, "M12": 14, "M16": 18, "M20": 22, "M24": 26, "M27": 30, "M30": 33, "M33": 36, "M36": 39},
        **{"M39": 42, "M45": 48, "M52": 56, "M56": 62, "M64": 70},
    }
    metric = [p for p in PIPE if p.standard in ("EN 1092-1", "DIN 2501", "BS 4504-1")]
    assert len(metric) == 230
    assert [p.designation for p in metric if p.hole_diameter != hole_of[p.bolt or ""]] == []


def test_asme_b16_5_holes_are_an_eighth_over_the_bolt() -> None:
    """ASME B16.5: bolt holes are 1/8 in larger than the bolts."""
    for p in PIPE:
        if p.standard == "ASME B16.5":
            assert p.bolt is not None
            assert p.hole_diameter is not None
            whole, _, fraction = p.bolt.rpartition(" ")
            top, _, bottom = fraction.partition("/")
            bolt = int(whole or 0) + int(top) / int(bottom or 1)
            assert from_mm(p.hole_diameter, Unit.IN) == pytest.approx(bolt + 0.125, abs=1e-9)


def test_inch_pipe_flanges_are_dimensioned_in_sixteenths() -> None:
    """ASME B16.5, B16.47, B16.1 and AWWA C207 print multiples of 1/16 in."""
    lengths = [
        (p.designation, length)
        for p in PIPE
        if p.unit is Unit.IN
        for length in (p.bolt_circle, p.hole_diameter, p.outside_diameter, p.raised_face_diameter)
        if length is not None
    ]
    assert len(lengths) > 1000
    off = [name for name, length in lengths if abs((from_mm(length, Unit.IN) * 16 + 0.5) % 1 - 0.5) > 1e-6]
    assert off == []


def test_motor_flange_numbers_are_their_circles() -> None:
    """IEC 60072-1: the number of an FF or FT flange is its pitch circle."""
    motors = [p for p in all_patterns() if p.standard == "IEC 60072-1"]
    assert len(motors) == 29
    assert [p.size for p in motors if p.size[2:] != f"{p.bolt_circle:g}"] == []


def test_actuator_flange_numbers_are_a_tenth_of_their_circles() -> None:
    """ISO 5211: the number of an F flange is a tenth of its pitch circle, rounded (some downward)."""
    valves = [p for p in all_patterns() if p.standard == "ISO 5211"]
    assert len(valves) == 14
    assert [p.size for p in valves if int(p.size[1:]) not in (p.bolt_circle // 10, round(p.bolt_circle / 10))] == []


def test_robot_flange_names_hold_circle_holes_and_thread() -> None:
    """ISO 9409-1: designation is circle, number of holes, thread."""
    robots = [p for p in all_patterns() if p.standard == "ISO 9409-1"]
    assert len(robots) == 7
    assert [p.size for p in robots if p.size != f"{p.bolt_circle:g}-{p.hole_count}-{p.bolt}"] == []


def test_spigots_lie_inside_the_bolt_circle() -> None:
    """A bore outside its own bolt circle would leave no metal for the holes."""
    for p in all_patterns():
        if p.bore is not None:
            assert p.bore < p.bolt_circle - (p.hole_diameter or 0), p


def test_sizes_with_two_hole_counts_on_one_circle_carry_a_note() -> None:
    """EN 1092-1 prints 8 holes for DN 65 PN 10 and 16, DIN 2501 printed 4; DN 200 differs between PN 10 and 16."""
    for pressure in ("PN 10", "PN 16"):
        new, old = rows("EN 1092-1", pressure)[65], rows("DIN 2501", pressure)[65]
        assert (new.hole_count, old.hole_count) == (8, 4)
        assert (new.bolt_circle, new.hole_diameter) == (old.bolt_circle, old.hole_diameter)
        assert "count the holes" in new.note
        assert "count the holes" in old.note
        assert "count the holes" in rows("EN 1092-1", pressure)[200].note


def test_the_rows_that_look_wrong_and_are_not_stay() -> None:
    """ASME B16.5 Class 900 NPS 3 and B16.47 Series A Class 300 NPS 38 are smaller than the size below."""
    b16_5, a = rows("ASME B16.5", "Class 900"), rows("ASME B16.47 Series A", "Class 300")
    assert (b16_5[80].outside_diameter or 0) < (b16_5[65].outside_diameter or 0)
    assert a[950].bolt_circle < a[900].bolt_circle
    assert rows("JIS B 2220", "16K")[800].hole_count < rows("JIS B 2220", "10K")[800].hole_count
