"""A standard is claimed only where every figure is the standard's; else the difference is said where it counts.

Figures: EN 1092-1 PN16 DN150 is 8 x 22 on 240; ASME B16.5 Class 150 NPS 6 is 8 x 7/8 in on 9 1/2 in (241.3 mm), as the
public tables of these standards print them.
"""

from pathlib import Path

import pytest

from truth.outside import check, checked, claims_match, command, denies_match, draw, says

PLATE = 'units = "mm"\n[job]\nnumber = "MB-201"\n[plate]\noutside_diameter = 340\nbore = 100\nthickness = 22\n'
OVERRIDDEN = [
    ("6 inch 150 pound", "diameter = 240\nhole_diameter = 22", ("240", "241.3")),
    ("DN150 PN16", "diameter = 300\nhole_count = 12\nhole_diameter = 14", ("300", "240", "12", "8", "14", "22")),
    (
        "EN 1092-1 PN16 DN150",
        "diameter = 160\nhole_count = 6\nhole_diameter = 30",
        ("160", "240", "6", "8", "30", "22"),
    ),
    ("EN 1092-1 PN16 DN150", "hole_count = 12\nhole_diameter = 18", ("12", "8", "18", "22")),
    ("EN 1092-1 PN16 DN150", "diameter = 241.3", ("241.3", "240")),
    ("EN 1092-1 PN16 DN150", "hole_count = 6", ("6", "8")),
    ("EN 1092-1 PN16 DN150", "hole_diameter = 23", ("23", "22")),
]


def circle(standard: str, keys: str) -> str:
    return f'{PLATE}[[bolt_circle]]\nstandard = "{standard}"\n{keys}\n'


@pytest.mark.slow
@pytest.mark.parametrize(("standard", "keys", "figures"), OVERRIDDEN)
def test_figures_that_differ_from_the_row_are_no_match_anywhere(
    standard: str, keys: str, figures: tuple[str, ...], tmp_path: Path
) -> None:
    drawn = draw(tmp_path, circle(standard, keys))
    for said in (drawn.said, drawn.sheet):
        assert not claims_match(said)
        assert denies_match(said)
        assert says(said, *figures)
    told = check(tmp_path, circle(standard, keys))
    assert told.code == 1
    assert says(told.out, *figures)
    code, document = checked(tmp_path, circle(standard, keys))
    assert (code, document["passes"]) == (1, False)


@pytest.mark.parametrize("keys", ["", "diameter = 240\nhole_count = 8\nhole_diameter = 22"])
def test_the_rows_own_figures_are_a_match_and_nothing_else_is_said(keys: str, tmp_path: Path) -> None:
    drawn = draw(tmp_path, circle("EN 1092-1 PN16 DN150", keys))
    assert claims_match(drawn.sheet)
    assert "EN 1092-1 PN16 DN150" in drawn.sheet
    assert not denies_match(drawn.sheet + drawn.said)
    assert check(tmp_path, circle("EN 1092-1 PN16 DN150", keys)).code == 0


def test_unequal_angles_are_not_the_standards_spacing(tmp_path: Path) -> None:
    angles = "angles = [22.5, 67.5, 112.5, 157.5, 202.5, 247.5, 292.5, 330]"
    drawn = draw(tmp_path, circle("EN 1092-1 PN16 DN150", angles))
    assert not claims_match(drawn.sheet)
    assert denies_match(drawn.sheet)
    assert check(tmp_path, circle("EN 1092-1 PN16 DN150", angles)).code == 1


def test_a_starter_does_not_invite_a_standard_beside_other_numbers(tmp_path: Path) -> None:
    # The trap: take the standard's line out of its comment and leave the numbers below as they are.
    assert command(tmp_path, "new", "ring-flange", tmp_path / "trap.toml").code == 0
    text = (tmp_path / "trap.toml").read_text(encoding="utf-8")
    lines = [
        'standard = "ASME B16.5 Class 150 NPS 6"' if line.startswith("# standard =") else line
        for line in text.splitlines()
    ]
    assert any(line.startswith("standard =") for line in lines)
    drawn = draw(tmp_path, "\n".join(lines))
    assert not (claims_match(drawn.sheet) and "240" in drawn.sheet)
    assert denies_match(drawn.sheet)


def test_the_tolerance_of_a_standard_goes_only_with_its_own_circle(tmp_path: Path) -> None:
    # A circle of 160 is nobody's: part measured 0.9 mm large passes only under the 1.0 mm of EN 1092-1.
    text = circle(
        "EN 1092-1 PN16 DN150", "diameter = 160\nhole_count = 4\nhole_diameter = 22\nplacement = 'on-centerline'"
    )
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    measured = "hole,x,y\n1,0,80.45\n2,-80.45,0\n3,0,-80.45\n4,80.45,0\n"
    (tmp_path / "part.csv").write_text(measured, encoding="utf-8")
    told = command(tmp_path, "inspect", tmp_path / "job.toml", tmp_path / "part.csv")
    assert "EN 1092" not in told.said


@pytest.mark.parametrize("designation", ["EN 1092-1 PN16 DN65", "EN 1092-1 PN10 DN65"])
def test_the_note_of_a_row_reaches_console_check_and_sheet(designation: str, tmp_path: Path) -> None:
    # DN65 has 8 holes in EN 1092-1 and 4 on the same circle in DIN 2501 and ISO 7005-1:1992.
    plate = 'units = "mm"\n[job]\nnumber = "MB-202"\n[plate]\noutside_diameter = 185\nbore = 77\nthickness = 18\n'
    text = f'{plate}[[bolt_circle]]\nstandard = "{designation}"\n'
    drawn = draw(tmp_path, text)
    for said in (drawn.said, drawn.sheet, check(tmp_path, text).out):
        assert says(said, "4", "8")
        assert "holes" in said.lower()
        assert "mating" in said.lower() or "mate" in said.lower()


def test_a_name_of_rows_with_different_holes_is_asked_about(tmp_path: Path) -> None:
    # PN16 DN65 is 8 holes in EN 1092-1 and 4 on the same circle in DIN 2501.
    ran = draw(tmp_path, f'{PLATE}[[bolt_circle]]\nstandard = "DN65 PN16"\n')
    assert ran.code == 2
    assert not ran.files
    assert "EN 1092-1" in ran.err
    assert "DIN 2501" in ran.err
