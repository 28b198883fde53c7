"""Rows against figures published elsewhere; the source stands beside each."""

from fractions import Fraction

import pytest

from flangelayout.standards import Confidence, Pattern, all_patterns, find
from flangelayout.units import Unit, from_mm
from rows import every_row

# Drilling templates of ASME B16.5 Tables 7 and 9 as carried by the general parts library bd-warehouse 0.4.0
# (PyPI): bolt circle in mm rounded to 0.1, holes, hole in inches, bolt in inches.
SECOND_SET: dict[str, dict[str, tuple[float, int, str, str]]] = {
    "Class 150": {
        "1/2": (60.3, 4, "5/8", "1/2"),
        "3/4": (69.9, 4, "5/8", "1/2"),
        "1": (79.4, 4, "5/8", "1/2"),
        "1 1/4": (88.9, 4, "5/8", "1/2"),
        "1 1/2": (98.4, 4, "5/8", "1/2"),
        "2": (120.7, 4, "3/4", "5/8"),
        "2 1/2": (139.7, 4, "3/4", "5/8"),
        "3": (152.4, 4, "3/4", "5/8"),
        "3 1/2": (177.8, 8, "3/4", "5/8"),
        "4": (190.5, 8, "3/4", "5/8"),
        "5": (215.9, 8, "7/8", "3/4"),
        "6": (241.3, 8, "7/8", "3/4"),
        "8": (298.5, 8, "7/8", "3/4"),
        "10": (362.0, 12, "1", "7/8"),
        "12": (431.8, 12, "1", "7/8"),
        "14": (476.3, 12, "1 1/8", "1"),
        "16": (539.8, 16, "1 1/8", "1"),
        "18": (577.9, 16, "1 1/4", "1 1/8"),
        "20": (635.0, 20, "1 1/4", "1 1/8"),
        "22": (692.2, 20, "1 3/8", "1 1/4"),
        "24": (749.3, 20, "1 3/8", "1 1/4"),
    },
    "Class 300": {
        "1/2": (66.7, 4, "5/8", "1/2"),
        "3/4": (82.6, 4, "3/4", "5/8"),
        "1": (88.9, 4, "3/4", "5/8"),
        "1 1/4": (98.4, 4, "3/4", "5/8"),
        "1 1/2": (114.3, 4, "7/8", "3/4"),
        "2": (127.0, 8, "3/4", "5/8"),
        "2 1/2": (149.2, 8, "7/8", "3/4"),
        "3": (168.3, 8, "7/8", "3/4"),
        "3 1/2": (184.2, 8, "7/8", "3/4"),
        "4": (200.0, 8, "7/8", "3/4"),
        "5": (235.0, 8, "7/8", "3/4"),
        "6": (269.9, 12, "7/8", "3/4"),
        "8": (330.2, 12, "1", "7/8"),
        "10": (387.4, 16, "1 1/8", "1"),
        "12": (450.8, 16, "1 1/4", "1 1/8"),
        "14": (514.4, 20, "1 1/4", "1 1/8"),
        "16": (571.5, 20, "1 3/8", "1 1/4"),
        "18": (628.6, 24, "1 3/8", "1 1/4"),
        "20": (685.8, 24, "1 3/8", "1 1/4"),
        "22": (743.0, 24, "1 5/8", "1 1/2"),
        "24": (812.8, 24, "1 5/8", "1 1/2"),
    },
}


def inches(text: str) -> float:
    return float(sum(Fraction(part) for part in text.split()))


@every_row("grade", list(SECOND_SET))
def test_asme_b16_5_agrees_with_a_second_public_set(grade: str) -> None:
    """bd-warehouse 0.4.0: all 21 sizes; its circles are rounded to 0.1 mm."""
    for nps, (circle, holes, hole, bolt) in SECOND_SET[grade].items():
        row = find(f"ASME B16.5 {grade} NPS {nps}")
        assert row.bolt_circle == pytest.approx(circle, abs=0.0751), row
        assert (row.hole_count, row.bolt) == (holes, bolt), row
        assert row.hole_diameter is not None
        assert from_mm(row.hole_diameter, Unit.IN) == pytest.approx(inches(hole), abs=1e-9), row


@every_row(
    ("designation", "circle", "holes", "hole", "outside"),
    [
        # Printed by makers' EN 1092-1 connecting-dimension sheets and BS 4504-1:1969.
        ("EN 1092-1 PN16 DN150", 240, 8, 22, 285),
        ("EN 1092-1 PN10 DN200", 295, 8, 22, 340),
        ("EN 1092-1 PN16 DN200", 295, 12, 22, 340),
        ("EN 1092-1 PN40 DN100", 190, 8, 22, 235),
        ("EN 1092-1 PN6 DN300", 395, 12, 22, 440),
        # DIN 2501 / ISO 7005-1:1992: four holes at DN 65.
        ("DIN 2501 PN16 DN65", 145, 4, 18, 185),
        # ASME B16.5 Table 7 (2009): NPS 6 Class 150.
        ("ASME B16.5 Class 150 NPS 6", 241.3, 8, 22.225, 279.4),
        # ASME B16.47: NPS 30 Class 150, both series.
        ("ASME B16.47 Series A Class 150 NPS 30", 914.4, 28, 34.925, 984.25),
        ("ASME B16.47 Series B Class 150 NPS 30", 846.1375, 44, 22.225, 887.4125),
        # Japanese and Korean flange catalogues: JIS B 2220 10K 100A.
        ("JIS B 2220 10K 100A", 175, 8, 19, 210),
        # BS 10:1962 Table E in the mining pipe handbooks: 6 in is 9 1/4 in on 11 in.
        ("BS 10 Table E DN150", 235, 8, 22.2, 279.4),
        ("AS 2129 Table E DN150", 235, 8, 22, 280),
        # IEC 60072-1, motor makers' catalogues.
        ("IEC 60072-1 FF215", 215, 4, 14.5, 250),
        ("IEC 60072-1 FF400", 400, 8, 18.5, 450),
        # ISO 5211 as remembered (102 mm and M10 for F10).
        ("ISO 5211 F10", 102, 4, None, 125),
        # SAE J617 No. 1: 20.875 in circle, 12 holes; SAE J620 11.5: 13.125 in, 8 holes; SAE J744 B: 5.75 in.
        ("SAE J617 No. 1", 530.225, 12, None, 552.45),
        ("SAE J620 11.5", 333.375, 8, None, 352.425),
        ("SAE J744 101-2 B", 146.05, 2, 14.2748, None),
        # ISO 3669:2020, DN 40 CF; ISO 1609 DN 100 from memory.
        ("ISO 3669 CF DN40", 58.7, 6, 6.8, 69.9),
        ("ISO 1609 ISO-F DN100", 145, 8, 9, 165),
        # NEMA MG 1 C-face 56C: AJ 5 7/8 in.
        ("NEMA MG 1 C-face 56C, 56HC, 56J", 149.225, 4, None, 165.1),
        # Trade lists of wheel and chainring patterns.
        ("wheel hub 5x114.3", 114.3, 5, None, None),
        ("chainring 5x110", 110, 5, None, None),
    ],
)
def test_rows_hold_the_published_figures(
    designation: str, circle: float, holes: int, hole: float | None, outside: float | None
) -> None:
    row = find(designation)
    assert row.bolt_circle == pytest.approx(circle, abs=1e-6)
    assert row.hole_count == holes
    assert (row.hole_diameter, row.outside_diameter) == (hole, outside)


def test_a_table_corrected_against_a_second_set_stays_corrected() -> None:
    """ASME B16.5 Class 1500 NPS 3 has 1 1/8 in bolts; bd-warehouse 0.4.0 differs there and is wrong."""
    assert find("ASME B16.5 Class 1500 NPS 3").bolt == "1 1/8"


def test_weak_tables_are_marked_as_memory() -> None:
    """No published page was found for these: PN 2.5, ISO 1609, ISO 5211, NEMA D-flanges."""

    def weak(pattern: Pattern) -> bool:
        return (
            pattern.standard in ("ISO 1609", "ISO 5211")
            or (pattern.standard, pattern.grade) == ("EN 1092-1", "PN 2.5")
            or pattern.grade == "D-flange"
        )

    rows = [pattern for pattern in all_patterns() if weak(pattern)]
    assert len(rows) == 29 + 20 + 14 + 9
    assert {pattern.confidence for pattern in rows} == {Confidence.MEMORY}
