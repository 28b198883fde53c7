"""What the readings do not bear out is not drawn: each case with its truth worked out here.

Chords of equally spaced holes are the diameter times the sine of half the angle between them (chord tables of the
machinist's handbooks). EN 1092-1 PN10 and PN16 DN100 are both 8 x 18 on 180; ISO 5211 F03 is 4 holes on 36.
"""

import math
from pathlib import Path

import pytest

from truth.outside import Ran, command, draw, job_file, points_at, says

HEAD = 'units = "mm"\n[job]\nnumber = "MB-210"\n'


def chord(diameter: float, degrees: float) -> float:
    return diameter * math.sin(math.radians(degrees) / 2)


def readings(*values: tuple[str, float, int, int]) -> str:
    lines = []
    for kind, value, start, end in values:
        lines.append(f'[[survey.reading]]\nkind = "{kind}"\nvalue = {value:.2f}\nfrom = {start}\nto = {end}\n')
    return "".join(lines)


def neighbors(diameter: float, count: int, *wrong: tuple[int, float]) -> str:
    """Every neighbor chord, center to center, some misread by so much."""
    off = dict(wrong)
    right = chord(diameter, 360 / count)
    return readings(*(("centers", right + off.get(n, 0.0), n, n % count + 1) for n in range(1, count + 1)))


def job(asked: str, circle: str, survey: str, plate: str = "outside_diameter = 285\nbore = 100\nthickness = 20") -> str:
    asked_for = f'diameter = "{asked}"' if asked else ""
    return f"{HEAD}[plate]\n{plate}\n[[bolt_circle]]\n{asked_for}\n{circle}\n[survey]\n{survey}"


def stopped(ran: Ran) -> None:
    assert ran.code == 1
    assert not ran.files
    assert "Traceback" not in ran.err


def test_readings_that_contradict_each_other_are_not_drawn(tmp_path: Path) -> None:
    # 91.84, 91.84 and 97.9 between neighbors: 240 mm but for the third, 6 mm off.
    survey = "hole_count = 8\n" + readings(*(("centers", v, n, n + 1) for n, v in ((1, 91.84), (2, 91.84), (3, 97.9))))
    text = job("measured", "hole_count = 8\nhole_diameter = 22", survey)
    ran = draw(tmp_path, text)
    stopped(ran)
    assert points_at(ran.err, text, "97.90")
    assert "245.27" not in ran.err  # the band of that mean is known to be false


def test_one_misread_chord_of_four_is_not_averaged_in(tmp_path: Path) -> None:
    right = chord(240, 45)
    values = [
        ("centers", right, 1, 2),
        ("centers", right + 3, 2, 3),
        ("centers", right, 3, 4),
        ("centers", 240.0, 1, 5),
    ]
    text = job("measured", "hole_count = 8\nhole_diameter = 22", "hole_count = 8\n" + readings(*values))
    ran = draw(tmp_path, text)
    stopped(ran)
    assert points_at(ran.err, text, f"{right + 3:.2f}")


@pytest.mark.parametrize("asked", ["measured", "nearest standard"])
def test_a_stopped_survey_names_the_reading_its_line_and_the_cure(asked: str, tmp_path: Path) -> None:
    survey = "hole_count = 8\n" + neighbors(180, 8, (4, 2.4))
    text = job(
        asked, "hole_count = 8\nhole_diameter = 18", survey, "outside_diameter = 220\nbore = 100\nthickness = 20"
    )
    ran = draw(tmp_path, text)
    stopped(ran)
    assert points_at(ran.err, text, f"{chord(180, 45) + 2.4:.2f}")
    assert "without the suspect reading reads" not in ran.err


def test_a_survey_that_is_to_be_used_all_the_same_says_so_on_the_sheet_without_a_band(tmp_path: Path) -> None:
    survey = "hole_count = 8\nuse_anyway = true\n" + neighbors(240, 8, (3, 6.0))
    ran = draw(tmp_path, job("measured", "hole_count = 8\nhole_diameter = 22", survey))
    assert ran.code == 0
    assert "±" not in ran.sheet.partition("easured")[2][:60]
    assert "disagree" in ran.sheet.lower() or "contradict" in ran.sheet.lower()


UNEQUAL = (0.0, 50.0, 180.0, 230.0)


def unequal_readings(diameter: float, angles: tuple[float, ...]) -> str:
    """Four sides and two diagonals of four holes on a circle, center to center."""
    pairs = [(1, 2), (2, 3), (3, 4), (4, 1), (1, 3), (2, 4)]
    return readings(*(("centers", chord(diameter, abs(angles[a - 1] - angles[b - 1])), a, b) for a, b in pairs))


@pytest.mark.parametrize("asked", ["measured", "nearest standard"])
def test_holes_found_unequal_are_not_drawn_equal(asked: str, tmp_path: Path) -> None:
    plate = "outside_diameter = 60\nthickness = 8"
    text = job(asked, "hole_count = 4\nhole_diameter = 5.5", "hole_count = 4\n" + unequal_readings(36, UNEQUAL), plate)
    ran = draw(tmp_path, text)
    stopped(ran)
    assert "equal" in ran.err


def test_measured_angles_are_not_a_published_equal_spacing(tmp_path: Path) -> None:
    rows = ["from,to,kind,value"]
    for a, b in [(1, 2), (2, 3), (3, 4), (4, 1), (1, 3), (2, 4)]:
        rows.append(f"{a},{b},centers,{chord(36, abs(UNEQUAL[a - 1] - UNEQUAL[b - 1])):.2f}")
    path = tmp_path / "readings.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    told = command(tmp_path, "measure", "--holes", "4", "--readings", path)
    assert "ISO 5211 F03" not in told.out  # its holes would be 20 degrees away
    assert "one drilling" not in told.out


TIED = "hole_count = 8\n" + neighbors(180, 8) + readings(("centers", 180.0, 1, 5), ("centers", 180.0, 2, 6))


def test_rows_that_tie_are_all_named_on_screen_sheet_and_working(tmp_path: Path) -> None:
    plate = "outside_diameter = 220\nbore = 100\nthickness = 20"
    ran = draw(tmp_path, job("nearest standard", "hole_count = 8\nhole_diameter = 18", TIED, plate))
    assert ran.code == 0
    assert "the one standard that fits" not in ran.sheet
    for said in (ran.out, ran.sheet, ran.working):
        assert "PN10" in said
        assert "PN16" in said
        assert "DN100" in said


def test_a_wheel_hub_and_a_chainring_on_the_same_circle_are_both_named(tmp_path: Path) -> None:
    # 5 holes on 110 mm: a pattern of wheel hubs and of bicycle chainrings.
    survey = "hole_count = 5\ndrilling_tolerance = 0.3\n" + readings(
        ("centers", chord(110, 72), 1, 2), ("centers", chord(110, 72), 3, 4), ("centers", chord(110, 144), 2, 4)
    )
    plate = "outside_diameter = 140\nbore = 60\nthickness = 15"
    ran = draw(tmp_path, job("nearest standard", "hole_count = 5\nhole_diameter = 12", survey, plate))
    said = (ran.err,) if ran.code else (ran.out, ran.sheet, ran.working)
    assert ran.code in (0, 1)
    for each in said:
        assert "wheel hub" in each
        assert "chainring" in each


def test_the_first_line_of_draw_says_what_the_readings_found(tmp_path: Path) -> None:
    survey = "hole_count = 8\n" + neighbors(180, 8) + readings(("centers", 180.0, 1, 5))
    plate = "outside_diameter = 220\nbore = 100\nthickness = 20"
    ran = draw(tmp_path, job("measured", "hole_count = 8\nhole_diameter = 18", survey, plate))
    assert ran.code == 0
    assert says(" ".join(ran.out.splitlines()[:2]), "180")


def test_a_written_circle_is_held_against_the_readings(tmp_path: Path) -> None:
    survey = "hole_count = 8\n" + neighbors(240, 8) + readings(("centers", 240.0, 1, 5), ("centers", 240.0, 2, 6))
    wrong = job("", "diameter = 243.8\nhole_count = 8\nhole_diameter = 22", survey)
    path = job_file(tmp_path, wrong)
    told = command(tmp_path, "check", path)
    assert told.code == 1
    assert says(told.out, "243.8")
    assert "240" in told.out
    right = job("", "diameter = 240\nhole_count = 8\nhole_diameter = 22", survey)
    path.write_text(right, encoding="utf-8")
    assert command(tmp_path, "check", path).code == 0


def test_the_survey_takes_the_jobs_own_hole_size(tmp_path: Path) -> None:
    # Same-edge readings need no hole size; near-edge ones are one hole short of the chord: 22 mm as the job says.
    near = chord(240, 45) - 22
    survey = "hole_count = 8\n" + readings(*(("near-edges", near, n, n + 1) for n in (1, 3, 5)))
    ran = draw(tmp_path, job("measured", "hole_count = 8\nhole_diameter = 22", survey))
    assert ran.code == 0
    assert says(ran.sheet, "240") or "239.9" in ran.sheet or "240.0" in ran.sheet


def test_a_count_that_is_off_by_one_is_noticed() -> None:
    # EN 1092-1 PN40 DN200: 12 holes on 320. Counted as 11, neighbors only.
    options = [word for _ in range(3) for word in ("--chord", f"{chord(320, 30):.2f}")]
    told = command(Path("/nonexistent"), "measure", "--holes", "11", *options)
    assert says(told.out, "12")
    assert "EN 1092-1 PN40 DN200" in told.out


def test_a_fraction_without_a_unit_is_asked_about() -> None:
    told = command(Path("/nonexistent"), "measure", "--holes", "8", "--chord", "2 23/32")
    assert "inch" in told.said or '" in"' in told.said or " in " in told.said
    assert told.code != 0 or "?" in told.said or "--unit in" in told.said
