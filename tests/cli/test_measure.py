import json
import math
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from flangelayout.cli import run as command_line
from flangelayout.cli.measuring.measure import measure_command
from flangelayout.errors import InputError, SurveyError
from flangelayout.job.load import load_job
from rows import every_row


def run(*words: str) -> Result:
    return CliRunner().invoke(measure_command, words)


def printed(*words: str) -> str:
    result = run(*words)
    assert result.exit_code == 0, result.exception
    return result.output


def document(*words: str) -> dict[str, object]:
    data = json.loads(printed(*words, "--json"))
    assert isinstance(data, dict)
    return data


def refused(*words: str) -> str:
    result = run(*words)
    assert isinstance(result.exception, InputError), result.output
    return str(result.exception)


def test_one_chord_answers_first() -> None:
    # 91.7 / sin 22.5 deg = 239.62; handbook table of chords, 8 divisions: 0.382683.
    # Its own 0.15, the caliper's zero 0.07, and a quarter of what good holes are out of place, 2 x 0.1^2 x 6/8 x
    # sin^2 and 2 x 0.12^2 x cos^2: the root of the squares, 0.1846, over 0.382683, twice: 0.97.
    lines = printed("--holes", "8", "--chord", "91.7", "--within", "0.3").splitlines()
    assert lines[0] == "Bolt circle 239.62 ± 0.97 mm, 8 holes"
    assert any(line.startswith("Verdict: several, 3 drillings") for line in lines)


def test_all_kinds_of_readings_go_into_one_fit() -> None:
    sine = math.sin(math.pi / 8)
    data = document(
        *(
            "--holes",
            "8",
            "--chord",
            f"{240 * sine}",
            "--same-edges",
            "240@4",
            "--near-edges",
            f"{240 * sine - 22}@1-2",
        ),
        *("--far-edges", f"{240 * sine + 22}", "--over-studs", f"{240 * sine + 20}", "--stud-diameter", "20"),
        *("--between-studs", f"{240 * sine - 20}", "--hole-to-bore", "34", "--bore", "150", "--hole-diameter", "22"),
        *("--hole-to-rim", "11.5", "--outside-diameter", "285"),
    )
    assert data["diameter"] == pytest.approx(240)
    readings = data["readings"]
    assert isinstance(readings, list)
    assert [reading["kind"] for reading in readings] == [
        *("centers", "same-edges", "near-edges", "far-edges", "over-studs", "between-studs"),
        *("hole-to-bore", "hole-to-rim", "hole-diameter", "stud-diameter", "bore", "outside-diameter"),
    ]
    assert [reading["pitches"] for reading in readings[:4]] == [1, 4, 1, 1]
    assert (readings[2]["from"], readings[2]["to"]) == (1, 2)


def test_sizes_may_be_called_as_the_trade_does() -> None:
    said = printed("--holes", "8", "--chord", "91.84", "--hole", "22", "--od", "285", "--id", "100")
    assert said == printed(
        *("--holes", "8", "--chord", "91.84", "--hole-diameter", "22", "--outside-diameter", "285", "--bore", "100")
    )


@every_row("word", ["--pcd", "--bcd", "--bolt-circle"])
def test_a_bolt_circle_given_is_answered_with_the_way_to_use_one(word: str) -> None:
    result = run("--holes", "8", word, "254")
    assert result.exit_code == 2
    assert "--expect 254" in result.output


def test_one_chord_that_fits_one_drilling_is_not_called_several() -> None:
    # 100 sin 45 deg = 70.71: 4x100 is the only wheel with 4 holes near it.
    said = printed("--holes", "4", "--chord", "70.71", "--family", "wheel hub")
    assert "Verdict: one drilling fits, but it is not sure" in said
    assert "several" not in said.split("Verdict")[1].split("\n")[0]


def test_pitches_hold_for_every_plain_chord() -> None:
    assert document("--holes", "8", "--pitches", "4", "--chord", "240", "--chord", "240.2")[
        "diameter"
    ] == pytest.approx(240.1)


def test_inches_in_and_out() -> None:
    # NPS 6 Class 150: 9 1/2 in circle, ASME B16.5; opposite holes read the circle itself.
    assert printed("--holes", "8", "--chord", "9-1/2@4", "--unit", "in", "--within", "0.01").startswith(
        "Bolt circle 9.500 ± 0.012 in"
    )
    assert document("--holes", "8", "--chord", "9 1/2 in@4")["diameter"] == pytest.approx(241.3)


def test_readings_file(tmp_path: Path) -> None:
    path = tmp_path / "readings.csv"
    path.write_text("kind,value,pitches\ncenters,240,4\ncenters,169.7056,2\n", encoding="utf-8")
    data = document("--holes", "8", "--readings", str(path))
    assert data["diameter"] == pytest.approx(240, abs=1e-3)


def test_missing_and_unreadable_files_are_one_line(tmp_path: Path) -> None:
    assert "cannot be read" in refused("--holes", "8", "--readings", str(tmp_path / "none.csv"))
    path = tmp_path / "picture.csv"
    path.write_bytes(b"\xff\xfe\x00\x01")
    assert "not UTF-8" in refused("--holes", "8", "--readings", str(path))


def test_jig_drilled_part_is_one() -> None:
    wide = ("--holes", "8", "--chord", "240@4", "--within", "0.1", "--drilling-tolerance", "0.2")
    assert document(*wide, "--chord", "240@4")["verdict"] == "one"
    assert document(*wide)["verdict"] == "several"  # one chord alone never decides


def test_a_wheel_is_looked_for_among_wheels() -> None:
    # 114.3 x sin 72 deg = 114.3 x 0.951057 = 108.71; studs of 12 mm.
    data = document("--holes", "5", "--stud-to-far-edge", "114.71", "--stud-diameter", "12", "--family", "wheel hub")
    candidates = data["candidates"]
    assert isinstance(candidates, list)
    assert candidates[0]["designation"] == "wheel hub 5x114.3"
    assert all(each["designation"].startswith("wheel hub") for each in candidates)


def test_home_made_share_is_a_share() -> None:
    assert "between 0 and 1" in refused("--holes", "8", "--chord", "91.7", "--home-made", "2")


def test_contradicting_readings_exit_1() -> None:
    result = run("--holes", "8", "--chord", "91.8", "--chord", "91.9", "--chord", "91.8", "--chord", "69.8")
    assert result.exit_code == 1
    assert "it fits as between the near edges instead of center to center" in result.output
    assert "±" not in result.output.splitlines()[0]


def test_reading_set_aside_lets_the_rest_agree() -> None:
    output = printed("--holes", "8", "--chord", "91.8", "--chord", "91.9", "--chord", "69.8", "--set-aside", "3")
    assert "set aside" in output


def test_working_shows_the_arithmetic() -> None:
    output = printed("--holes", "8", "--chord", "91.7", "--working")
    assert "360° / 8 holes = 45°" in output
    assert ["91.70", "91.70", "0.382683", "239.62", "1.000000"] in [line.split()[-5:] for line in output.splitlines()]


def test_table_of_expected_readings() -> None:
    output = printed("--expect", "240", "--holes", "8", "--hole-diameter", "22")
    assert ["1", "91.84", "69.84", "113.84"] in [line.split() for line in output.splitlines()]


def test_expected_readings_of_a_designation() -> None:
    output = printed("--expect", "EN 1092-1 PN16 DN150")
    assert output.startswith("Bolt circle 240.00 mm, 8 holes")
    assert "hole to rim: 11.50 mm" in output


def test_expected_readings_as_json() -> None:
    data = document("--expect", "110", "--holes", "5")
    assert data["spans"][0]["centers"] == pytest.approx(110 * 0.587785, abs=1e-4)  # type: ignore[index]  # a list


@every_row(
    ("words", "says"),
    [
        (("--holes", "1", "--chord", "91.7"), "1 cannot make a bolt circle"),
        (("--holes", "0", "--chord", "91.7"), "0 cannot make a bolt circle"),
        (("--holes", "8", "--chord", "-91.7"), "not greater than 0"),
        (("--holes", "8", "--chord", "nan"), '"nan" is not a length'),
        (("--holes", "8", "--chord", "91.7@8-9"), "there is no hole 9"),
        (("--holes", "8", "--chord", "91.7@x"), "is no span"),
        (("--holes", "8", "--chord", "300", "--outside-diameter", "285"), "longer than the circle allows"),
        (("--holes", "8", "--chord", "91.7", "--within", "tight"), "--within"),
        (("--holes", "8", "--chord", "91.7", "--set-aside", "4"), "there is no reading 4"),
        (("--holes", "8"), "there are none"),
        (("--expect", "240"), "--holes"),
        (("--expect", "EN 1092-1 PN16 DN151"), "--expect"),
    ],
)
def test_bad_input_is_one_clear_line(words: tuple[str, ...], says: str) -> None:
    text = refused(*words)
    assert says in text
    assert "\n" not in text


def test_missing_hole_count_says_what_to_do(capsys: pytest.CaptureFixture[str]) -> None:
    assert command_line(["measure", "--chord", "91.7"]) == 1
    assert "--holes" in capsys.readouterr().err
    assert isinstance(run("--chord", "91.7").exception, SurveyError)


def test_the_library_names_no_option() -> None:
    for words in (("--chord", "91.7"), ("--holes", "8", "--near-edges", "69.8"), ("--holes", "8", "--bore", "150")):
        assert "--" not in str(run(*words).exception)


def test_help_loads_neither_numpy_nor_a_drawing_library() -> None:
    code = (
        "import sys; from flangelayout.cli.measuring.measure import measure_command\n"
        "try: measure_command(['--help'])\n"
        "except SystemExit: print({'numpy', 'ezdxf', 'reportlab', 'svgwrite', 'scipy'} & set(sys.modules))"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.endswith("set()\n")


@pytest.mark.slow
def test_measuring_loads_no_drawing_library() -> None:
    code = (
        "import sys; from flangelayout.cli.measuring.measure import measure_command\n"
        "try: measure_command(['--holes', '8', '--chord', '91.7'])\n"
        "except SystemExit: print({'ezdxf', 'reportlab', 'svgwrite', 'scipy', 'pydantic', 'rich'} & set(sys.modules))"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.endswith("set()\n")


def test_several_readings_stand_after_one_option() -> None:
    together = document("--holes", "8", "--same-edges", "91.8", "91.9@1-2", "221.7@3", "--near-edges", "218.1@4")
    apart = document(
        *("--holes", "8", "--same-edges", "91.8", "--same-edges", "91.9@1-2", "--same-edges", "221.7@3"),
        *("--near-edges", "218.1@4"),
    )
    assert together == apart
    inches = document("--holes", "8", "--same-edges", "3", "5/8", "in", "3-5/8 in")
    assert [reading["value"] for reading in inches["readings"]] == [92.075, 92.075]  # type: ignore[attr-defined]


def test_readings_are_kept_in_a_job_that_draws_and_a_file_there_stays(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # EN 1092-1 DN125 PN16: 210 mm, 8 x 18, outside 250 (two sources agree); sin(180°/8) = 0.382683.
    path, sine = tmp_path / "MB-9.toml", 0.382683
    words = ["measure", "--holes", "8", "--same-edges", f"{210 * sine:.2f}", "210.0@4", "--hole-diameter", "18"]
    assert command_line([*words, "--outside-diameter", "250", "--within", "0.1", "--save", str(path)]) == 0
    assert f"wrote {path}; flangelayout draw {path}" in capsys.readouterr().out
    assert command_line(["check", str(path)]) == 0
    assert "EN 1092-1 PN16 DN125" in capsys.readouterr().out
    before = path.read_bytes()
    assert command_line([*words, "--save", str(path)]) == 2
    assert path.read_bytes() == before
    assert command_line([*words, "--save", str(tmp_path / "open.toml")]) == 0
    assert "fill in its outside diameter" in capsys.readouterr().out


def test_a_saved_job_holds_what_else_is_said_and_what_was_set_aside_as_such(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """EN 1092-1 PN10 and PN16 DN100: 8 x 18 on 180. The plate is as wide as it was read, not as it was fitted."""
    path = tmp_path / "S-1.toml"
    said = [
        "--holes",
        "8",
        "--same-edges",
        "68.8",
        "69.0",
        "71.3",
        "--near-edges",
        "162.1@4",
        "--hole-diameter",
        "18.1",
    ]
    said += ["--outside-diameter", "220", "--bore", "115", "--set-aside", "3", "--save", str(path)]
    assert command_line(["measure", *said, "thk=20", "bolt=M16"]) == 0
    assert capsys.readouterr().out.endswith(f"wrote {path}; flangelayout draw {path}\n")
    job = load_job(path)
    assert (job.flange.round_diameter, job.flange.bore, job.flange.thickness) == (220, 115, 20)
    assert (job.flange.bolt_circles[0].diameter, job.flange.bolt_circles[0].bolt) == (180, "M16")
    assert job.survey is not None
    assert (job.survey.readings[2].value, job.survey.set_aside) == (71.3, (2,))
    other = tmp_path / "S-2.toml"
    assert command_line(["measure", *said[:-1], str(other), "bolt_circle.standard=JIS 10K 100A"]) == 0
    assert load_job(other).flange.bolt_circles[0].diameter == 175
    assert command_line(["measure", *said[:-2], "thk=20"]) == 2
    assert "add --save JOB.toml" in capsys.readouterr().err


def test_a_reading_set_aside_moves_nothing_and_is_told_in_the_working() -> None:
    """Two pairs of neighbors; the third reading is of neither, and the circle must not take its place for theirs."""
    alone = printed("--holes", "8", "--same-edges", "68.8", "69.0", "--working")
    beside = printed("--holes", "8", "--same-edges", "71.3", "68.8", "69.0", "--set-aside", "1", "--working")
    assert alone.splitlines()[0] == beside.splitlines()[0]
    assert "Set aside: 1 of 3 readings took no part" in beside
    assert "71.3" in beside.split("Set aside: ")[1].split("Pitch angle")[0]


@every_row("written", ["68.8,69.0,68.7", "68.8;69.0;68.7", "68,8;69,0;68,7"])
def test_readings_may_be_parted_by_signs(written: str) -> None:
    assert printed("--holes", "8", "--same-edges", written) == printed(
        "--holes", "8", "--same-edges", "68.8", "69.0", "68.7"
    )


def test_expected_readings_show_their_working() -> None:
    said = printed("--holes", "8", "--expect", "240", "--working")
    assert "1: 240.00 × sin (22.5°) = 240.00 × 0.382683 = 91.84" in said


def test_a_hole_that_was_read_is_in_the_saved_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "hub.toml"
    read = ["--holes", "5", "--same-edges", "61", "61.02", "--hole-diameter", "13", "--od", "140"]
    assert command_line(["measure", *read, "--save", str(path)]) == 0
    assert capsys.readouterr().out.endswith(f"wrote {path}; flangelayout draw {path}\n")  # nothing to be filled in
    circle = load_job(path).flange.bolt_circles[0]
    assert (circle.hole_diameter, circle.hole_count) == (13, 5)


def test_a_saved_job_that_is_not_decided_is_not_drawn_as_measured(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Center to center 65.0 of 5 holes is a circle of 110.58: wheels have 110 and 112."""
    path = tmp_path / "hub.toml"
    assert command_line(["measure", "--holes", "5", "--chord", "65@1-2", "--od", "150", "--save", str(path)]) == 0
    assert "is not decided" in capsys.readouterr().out.splitlines()[-1]
    with pytest.raises(SurveyError, match="holes 2 places apart"):
        load_job(path)


def test_a_hole_that_was_read_is_drilled_where_the_row_publishes_none(tmp_path: Path) -> None:
    path = tmp_path / "hub.toml"
    read = ["--holes", "5", "--chord", "65.83@1-2", "106.52@1-3", "--hole-diameter", "13", "--od", "150"]
    assert command_line(["measure", *read, "--family", "wheel hub", "--save", str(path)]) == 0
    (circle,) = load_job(path).flange.bolt_circles
    assert (circle.diameter, circle.hole_diameter) == (112, 13)
