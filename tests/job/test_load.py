"""Job files: what is filled in, and that everything wrong is told at once with key, line, reason and cure."""

import os
import tomllib
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flangelayout import load_job
from flangelayout.errors import InputError, SurveyError
from flangelayout.flange import Centerline, Placement
from flangelayout.flange.claims import met_rows
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, job_from_text
from flangelayout.units import Unit
from jobs import Data, job_data, job_tables, make_job, outside_diameter, toml_text
from rows import every_row

PLATE = "[plate]\noutside_diameter = 285\n"
CIRCLE = PLATE + "[[bolt_circle]]\ndiameter = 240\nhole_count = 8\nhole_diameter = 22\n"


def told(text: str) -> list[str]:
    """The lines a text is refused with."""
    with pytest.raises(InputError) as refused:
        job_from_text(text, source="x.toml")
    return [line.removeprefix("x.toml: ") for line in refused.value.lines()]


def is_one_line(text: str) -> bool:
    return len(text.splitlines()) == 1 and not any(unicodedata.category(sign) in ("Cc", "Cs") for sign in text)


def content(job: Job) -> tuple[object, ...]:
    """What a job says, whatever text it was read from."""
    return job.info, job.flange, job.unit, job.digest, job.cut, job.template, job.sheet, job.findings


def test_a_small_file_is_enough_and_the_rest_is_filled_in() -> None:
    job = job_from_text(CIRCLE, name="plate-7")
    assert (job.info.number, job.info.revision, job.info.quantity) == ("plate-7", "A", 1)
    assert job.unit is Unit.MM
    assert (job.template.paper, job.template.overlap, job.template.margin, job.sheet.paper) == ("A4", 10, 12, "A4")
    (circle,) = job.flange.bolt_circles
    assert (circle.placement, circle.centerline) == (Placement.STRADDLE, Centerline.VERTICAL)
    assert job.flange.bore is None


def test_an_inch_job_reads_bare_numbers_as_inches_and_is_printed_on_letter() -> None:
    job = job_from_text('units = "in"\n[plate]\noutside_diameter = 13.5\nbore = "222.25 mm"\n')
    assert outside_diameter(job) == pytest.approx(342.9)
    assert job.flange.bore == pytest.approx(222.25)
    assert (job.cut.unit, job.template.paper, job.sheet.paper) == (Unit.IN, "Letter", "Letter")


@every_row(
    ("written", "length"),
    [
        ('"7/8 in"', 22.225),
        ('"2-3/8 in"', 60.325),
        ('"2 3/8 in"', 60.325),
        ("'2 3/8\"'", 60.325),
        ('"22 mm"', 22.0),
        ('"22"', 22.0),
        ('"2.2 cm"', 22.0),
        ("22.5", 22.5),
        ("22", 22.0),
    ],
)
def test_lengths_as_people_write_them(written: str, length: float) -> None:
    job = job_from_text(f"{PLATE}thickness = {written}\n")
    assert job.flange.thickness == pytest.approx(length)


def test_fractions_without_a_unit_are_inches_in_an_inch_job() -> None:
    job = job_from_text('units = "in"\n[plate]\noutside_diameter = "13 1/2"\nthickness = "2 3/8"\n')
    assert job.flange.thickness == pytest.approx(60.325)


def test_a_standard_fills_what_is_not_written() -> None:
    # EN 1092-1 PN 16 DN 150: outside 285, circle 240, 8 holes of 22 for M20 (a maker's sheet of connecting dimensions).
    standard = "EN 1092-1 PN16 DN150"
    job = job_from_text(f'[plate]\nstandard = "{standard}"\n[[bolt_circle]]\nstandard = "{standard}"\n')
    (circle,) = job.flange.bolt_circles
    assert outside_diameter(job) == 285
    assert (circle.diameter, circle.hole_count, circle.hole_diameter, circle.bolt) == (240, 8, 22, "M20")
    assert [row.designation for row in met_rows(circle)] == [standard]


def test_what_is_written_wins_over_the_standard() -> None:
    written = 'standard = "EN 1092-1 PN16 DN150"\nhole_diameter = 23\nhole_count = 4\nbolt = "M20 stud"'
    (circle,) = job_from_text(f"{PLATE}[[bolt_circle]]\n{written}").flange.bolt_circles
    assert (circle.diameter, circle.hole_count, circle.hole_diameter, circle.bolt) == (240, 4, 23, "M20 stud")


@every_row(
    ("bolt", "said"),
    [
        ("1.5", '"1.5": is "1.5" in inches or in mm? Write 1 1/2" or 1.5 mm'),
        ("M99", '"M99": no bolt is made in the size "M99"; the nearest are M95 or M100'),
        ("1/0", '"1/0" names no bolt'),
    ],
)
def test_a_bolt_that_cannot_be_read_is_refused_where_it_stands(bolt: str, said: str) -> None:
    (line,) = told(f'{PLATE}[[bolt_circle]]\ndiameter = 240\nhole_count = 8\nhole_diameter = 22\nbolt = "{bolt}"\n')
    assert line.startswith(f"line 7: bolt_circle.bolt: {said}")


def test_a_rectangle_of_holes_is_no_bolt_circle() -> None:
    (line,) = told(PLATE + '[[bolt_circle]]\nstandard = "ISO 6162-1 DN25"\n')
    assert line.startswith("line 4: bolt_circle.standard: ISO 6162-1 DN25 is no circle of equally spaced holes")


def test_a_tapped_pattern_asks_for_the_hole() -> None:
    (line,) = told(PLATE + '[[bolt_circle]]\nstandard = "ISO 9409-1 50"\n')
    assert "bolt_circle.hole_diameter: is missing, and ISO 9409-1 50 gives none; measure and write it" in line


def test_an_unknown_standard_names_the_nearest() -> None:
    (line,) = told(PLATE + '[[bolt_circle]]\nstandard = "XYZ 12"\n')
    assert "is in no table; the nearest: " in line


WRONG = [
    ("outside_diameter = nan", "plate.outside_diameter: nan is not a finite number"),
    ("outside_diameter = inf", "plate.outside_diameter: inf is not a finite number"),
    ("outside_diameter = -285", "plate.outside_diameter: -285 is not greater than 0"),
    ("outside_diameter = 0", "plate.outside_diameter: 0 is not greater than 0"),
    ("outside_diameter = 285000", "plate.outside_diameter: 285000 is more than 20 m; check the unit"),
    ("outside_diameter = 1e300", "plate.outside_diameter: 1e+300 is more than 20 m; check the unit"),
    ("outside_diameter = 0.001", "plate.outside_diameter: 0.001 is less than 0.05 mm; check the unit"),
    ('outside_diameter = "wide"', 'plate.outside_diameter: "wide" is not a length; write for example "22 mm"'),
    (
        'outside_diameter = "28,500"',
        "plate.outside_diameter: its comma can mean 28.500 or 28500; write the one you mean",
    ),
    ('outside_diameter = "9 ft"', 'plate.outside_diameter: "9 ft" has no unit this program knows ("ft")'),
    ('outside_diameter = "1/0 in"', 'plate.outside_diameter: "1/0 in" divides by zero'),
    ("outside_diameter = true", "plate.outside_diameter: needs a length"),
    ("outside_diameter = [285]", "plate.outside_diameter: needs a length"),
    ("outside_diameter = 2026-01-01", "plate.outside_diameter: needs a length"),
    ("outside_diameter = {}", "plate.outside_diameter: needs a length"),
    ('outline = "hexagon"', 'plate.outline: "hexagon" is not possible; use '),
    ("material = true", "plate.material: needs text in quotes"),
    ('face = ""', "plate.face: is empty; write something or leave the key out"),
]


@every_row(("line", "words"), WRONG)
def test_a_bad_value_is_told_with_its_line(line: str, words: str) -> None:
    lines = told(f"[plate]\n{line}\n")
    assert any(each.startswith(f"line 2: {words}") for each in lines)


WRONG_IN_A_CIRCLE = [
    ("hole_count = 0", "hole_count: 0 is too small; the least is 1"),
    ("hole_count = 10001", "hole_count: 10001 is too large; the most is 10000"),
    ("hole_count = 8.0", "hole_count: 8.0 is not a whole number"),
    ("hole_count = true", "hole_count: True is not a whole number"),
    ('hole_count = "8"', "hole_count: '8' is not a whole number"),
    ("start_angle = 400", "start_angle: 400 is beyond a full turn of 360 degrees"),
    ("start_angle = nan", "start_angle: nan is not a finite number"),
    ('start_angle = "1 rad"', 'start_angle: "1 rad" is not in degrees ("rad")'),
    ('placement = "straddel"', 'placement: "straddel" is not possible; use "straddle" or "on-centerline"'),
    ('centerline = "north"', 'centerline: "north" is not possible; use "vertical" or "horizontal"'),
    ("skip = [9]", "skip: hole 9 cannot be skipped: the holes are numbered 1 to 8"),
    ("skip = [1, 2, 3, 4, 5, 6, 7, 8]", "skip: every hole is skipped; leave the bolt circle out instead"),
    ("skip = 3", "skip: must be a list in brackets"),
    ("angles = [1, 2, 3]", "angles: 3 angles are given for 8 holes"),
    ("hole_dia = 22", "hole_dia: unknown key; it is written hole_diameter"),
    ("diamter = 22", "diamter: unknown key; did you mean diameter?"),
]


@every_row(("line", "words"), WRONG_IN_A_CIRCLE)
def test_a_bad_value_of_a_bolt_circle_is_told_with_its_line(line: str, words: str) -> None:
    count = "" if line.startswith("hole_count") else "hole_count = 8\n"
    text = f"{PLATE}[[bolt_circle]]\n{line}\n{count}diameter = 240\nhole_diameter = 22\n"
    assert any(each.startswith(f"line 4: bolt_circle.{words}") for each in told(text)), told(text)


@every_row(
    ("text", "words"),
    [
        ("", "plate: is missing; add a [plate] table with outside_diameter"),
        ("[plate]\n", "line 1: plate.outside_diameter: is missing; write for example outside_diameter = 285"),
        ("plate = 3", "line 1: plate: must be a table: write [plate] on a line of its own"),
        (PLATE + "[bolt_circle]\n", "line 3: bolt_circle: is written [[bolt_circle]], with two brackets, as there may"),
        ("bolt_circle = [3]\n" + PLATE, "line 1: bolt_circle: must be a table: write [[bolt_circle]] on a line"),
        (PLATE + "[[bolt_circle]]\n", "line 3: bolt_circle.diameter: is missing; write for example diameter = 240"),
        (PLATE + "[plte]\n", "line 3: plte: unknown key; did you mean plate?"),
        (PLATE + '[template]\npaper = "A5"', 'line 4: template.paper: "A5" is not possible; use "A4", "Letter"'),
        (PLATE + "[template]\noverlap = 50", "line 4: template.overlap: 50 is not possible; use 4 to 40 mm"),
        (PLATE + "[template]\nmargin = 70", "line 4: template.margin: 70 is not possible; use 1 to 60 mm"),
        (PLATE + '[cut.layers]\nholes = "a/b"', 'line 4: cut.layers.holes: "a/b" is no layer name'),
        (PLATE + "[job]\nquantity = 0", "line 4: job.quantity: 0 is too small; the least is 1"),
        (PLATE + '[job]\nnumber = " "', "line 4: job.number: is empty"),
        (PLATE + "raised_face_height = 2", "line 3: plate.raised_face_height: has no raised_face_diameter beside it"),
        (PLATE + "[[hole]]\ndiameter = 5\nx = 3", "line 3: hole: needs its place: either x and y, or radius and angle"),
        (PLATE + "[[hole]]\nx = 1\ny = 2", "line 3: hole.diameter: is missing; write for example diameter = 22"),
        ("a = 1" + "0" * 5000, "holds a number of thousands of digits"),
        (PLATE + "[job]\nquantity = 0x" + "F" * 6000, "line 4: job.quantity: is a number beyond all counting"),
        ("units = 0x" + "F" * 6000, 'line 1: units: what stands there is not possible; use "mm" or "in"'),
        ("a = " + "[" * 100_000, "is nested too deeply for a job file"),
    ],
)
def test_what_is_wrong_with_a_file_is_told_in_one_line_each(text: str, words: str) -> None:
    lines = told(text)
    assert any(line.startswith(words) for line in lines), lines
    assert not any("\n" in line for line in lines)


def test_everything_wrong_is_told_at_once_in_the_order_of_the_file() -> None:
    text = """units = "cm"
[plate]
outside_diameter = -1
bor = 170
[[bolt_circle]]
diameter = "x"
hole_count = 8
hole_diameter = 22
[[bolt_circle]]
diameter = 100
hole_diameter = 22
[template]
paper = "A5"
"""
    found = [line.split(": ")[:2] for line in told(text)]
    assert found == [
        ["line 1", "units"],
        ["line 3", "plate.outside_diameter"],
        ["line 4", "plate.bor"],
        ["line 6", "bolt_circle[1].diameter"],
        ["line 9", "bolt_circle[2].hole_count"],
        ["line 13", "template.paper"],
    ]


def test_a_misspelled_key_does_not_hide_a_contradiction() -> None:
    lines = told(CIRCLE.replace("22", "99") + '[sheet]\npapr = "A4"\n')
    assert [line.split(": ")[:2] for line in lines] == [
        ["line 4", "bolt_circle.diameter"],
        ["line 6", "bolt_circle.hole_diameter"],
        ["line 8", "sheet.papr"],
    ]


def test_a_key_or_value_of_several_lines_is_told_in_one() -> None:
    for text in ('"a\\nb" = 1\n' + PLATE, 'units = "a\\nb"\n' + PLATE, '[plate]\noutside_diameter = "a\\u001b\\nb"'):
        for line in told(text):
            assert is_one_line(line)


def test_lines_are_those_of_an_editor_also_behind_long_texts() -> None:
    text = "# \u2028 \x85\n" + '[job]\nnotes = ["""one\nbore = 3\n""", "two"]\n' + PLATE + "bor = 2\n"
    assert told(text) == ["line 8: plate.bor: unknown key; did you mean bore?"]


@every_row(
    ("content", "words"),
    [
        (b"[plate\n", "line 1: [plate cannot be read; write [plate]"),
        (b"plate = \xff", "line 1: is not UTF-8 text; save it as UTF-8"),
        ("[plate]\nmaterial = 'Stahl hö'".encode("latin-1"), "line 2: is not UTF-8 text"),
        (PLATE.encode("utf-16"), "line 1: is not UTF-8 text"),
        (b"\x00\x01", "line 1: \ufffd\ufffd cannot be read"),
        (b"a = 1\na = 2\n", "line 2: a: is there already in line 1"),
        (b"# " + b"x" * 4_000_001, "has 4000003 bytes; a job file has at most 4000000"),
    ],
)
def test_a_file_that_is_no_job_is_refused_by_name(content: bytes, words: str, tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(content)
    with pytest.raises(InputError) as refused:
        load_job(path)
    (line,) = refused.value.lines()
    assert line.startswith(f"{path}: {words}")


def test_a_missing_file_and_a_folder_are_refused_with_the_reason(tmp_path: Path) -> None:
    for path, reason in ((tmp_path / "none.toml", r"cannot be read \(No such file"), (tmp_path, "is a folder")):
        with pytest.raises(InputError, match=reason):
            load_job(path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with names")
def test_a_pipe_and_a_device_are_refused_before_they_are_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "job.toml")
    for path in (tmp_path / "job.toml", Path("/dev/zero")):
        with pytest.raises(InputError, match="is no plain file; save a job file as one"):
            load_job(path)


def test_an_unreadable_file_is_refused_with_the_reason(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> bytes:
        raise PermissionError(13, "Permission denied")

    (tmp_path / "job.toml").touch()
    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(InputError, match=r"job\.toml: cannot be read \(Permission denied\)"):
        load_job(tmp_path / "job.toml")


def test_windows_line_ends_and_a_byte_order_mark_are_no_matter(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(b"\xef\xbb\xbf" + CIRCLE.replace("\n", "\r\n").encode())
    assert content(load_job(path)) == content(job_from_text(CIRCLE, name="job"))


EQUAL = [
    ("# a comment\n" + CIRCLE, True),
    (CIRCLE.replace(" = ", "="), True),
    (CIRCLE.replace("\n", "\r\n"), True),
    (CIRCLE.replace("[plate]\noutside_diameter = 285", "plate.outside_diameter = 285"), True),
    (CIRCLE.replace("hole_count = 8\nhole_diameter = 22", "hole_diameter = 22\nhole_count = 8"), True),
    (CIRCLE.replace("240", "240.1"), False),
    (CIRCLE + 'name = "pump side"', False),
    (CIRCLE + "[job]\nquantity = 2", False),
]


@every_row(("text", "same"), EQUAL)
def test_the_digest_is_that_of_keys_and_values_and_not_of_spacing(text: str, same: bool) -> None:
    assert (job_from_text(text).digest == job_from_text(CIRCLE).digest) is same


def test_the_digest_of_a_numbered_job_does_not_hang_on_the_name_of_its_file() -> None:
    numbered = CIRCLE + '[job]\nnumber = "H-1"\n'
    assert job_from_text(numbered, name="a").digest == job_from_text(numbered, name="b").digest
    assert job_from_text(CIRCLE, name="a").digest != job_from_text(CIRCLE, name="b").digest
    assert len(job_from_text(numbered).digest) == 64


def test_a_written_date_is_the_same_with_and_without_quotes() -> None:
    jobs = [job_from_text(f"{PLATE}[job]\ndate = {date}") for date in ("2026-11-25", '"2026-11-25"')]
    assert jobs[0].info.date == jobs[1].info.date == "2026-11-25"


def test_unequal_angles_stand_alone() -> None:
    data = job_data(bolt_circle=[{"diameter": 240, "hole_diameter": 22, "angles": [0, 120.5, "240 deg"]}])
    assert job_from_data(data).flange.bolt_circles[0].angles == (0.0, 120.5, 240.0)
    data["bolt_circle"][0]["placement"] = "on-centerline"
    with pytest.raises(InputError, match=r"bolt_circle\.angles: fix every hole; leave out placement and centerline"):
        job_from_data(data)


def test_single_holes_by_x_and_y_or_by_radius_and_angle() -> None:
    job = make_job(
        bolt_circle=[], hole=[{"diameter": 5, "x": 0, "y": 100}, {"diameter": 5, "radius": 100, "angle": 180}]
    )
    centers = [(hole.center.x, hole.center.y) for hole in job.flange.single_holes]
    assert centers[0] == (0.0, 100.0)
    assert centers[1] == pytest.approx((-100.0, 0.0))


@given(job_tables())
def test_a_job_is_the_same_from_its_tables_and_from_its_text(data: Data) -> None:
    assert tomllib.loads(toml_text(data)) == data
    assert content(job_from_text(toml_text(data))) == content(job_from_data(data))


scalars = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8) | st.dates()
KEYS = (
    "units job plate bolt_circle hole tolerances cut template sheet survey reading outside_diameter bore diameter "
    "hole_count hole_diameter angles skip standard x y radius angle paper layers number kind value"
)
keys = st.sampled_from(KEYS.split()) | st.text(max_size=5)
values = st.recursive(
    scalars | st.sampled_from(["mm", "in", "7/8 in", "measured", "EN 1092-1 PN16 DN150", 22, 240, 8]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=4),
    max_leaves=12,
)


def outcome(tables: Data | str) -> Job | tuple[str, ...]:
    """A job, or the lines it is refused with; nothing else may come of any input."""
    try:
        return job_from_text(tables) if isinstance(tables, str) else job_from_data(tables)
    except InputError as wrong:
        return wrong.lines()
    except SurveyError as wrong:
        return (str(wrong),)


def is_job_or_lines(found: Job | tuple[str, ...]) -> bool:
    return isinstance(found, Job) or (bool(found) and all(is_one_line(line) for line in found))


@pytest.mark.slow
@settings(max_examples=40)
@given(st.dictionaries(keys, values, max_size=5))
def test_any_tables_give_a_job_or_a_list_of_problems(data: Data) -> None:
    assert is_job_or_lines(outcome(data))


@pytest.mark.slow
@settings(max_examples=40)
@given(job_tables(), st.data())
def test_a_sound_job_with_one_value_spoiled_gives_a_job_or_problems(tables: Data, data: st.DataObject) -> None:
    place = data.draw(st.sampled_from(sorted(tables)))
    table = tables[place][0] if isinstance(tables[place], list) else tables[place]
    if isinstance(table, dict):
        table[data.draw(keys)] = data.draw(values)
    else:
        tables[place] = data.draw(values)
    assert is_job_or_lines(outcome(tables))


@given(st.text(max_size=60) | st.text(alphabet="[]{}=\"'\n.,#0a:-+ eE_xinft", max_size=40))
def test_any_text_gives_a_job_or_a_list_of_problems(text: str) -> None:
    assert is_job_or_lines(outcome(text))
