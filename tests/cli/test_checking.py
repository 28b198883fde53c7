"""``flangelayout check``, ``mate`` and ``inspect``: exit codes, what they print, what they write."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from flangelayout.cli import run
from flangelayout.flange import BoltCircle
from flangelayout.geometry.shapes import Point
from jobs import job_data, toml_text

SAMPLES = Path(__file__).parents[2] / "samples"
Printed = Callable[..., tuple[int, str, str]]
RING = str(SAMPLES / "intake-ring.toml")


@pytest.fixture
def printed(capsys: pytest.CaptureFixture[str]) -> Printed:
    """Runs a command and gives its exit code, its output and its errors."""

    def call(*arguments: str) -> tuple[int, str, str]:
        code = run(arguments)
        out, err = capsys.readouterr()
        return code, out, err

    return call


def job_file(folder: Path, **tables: object) -> str:
    file = folder / "T-1.toml"
    file.write_text(toml_text(job_data(**tables)), encoding="utf-8")
    return str(file)


def positions(folder: Path, *changes: tuple[int, float, float]) -> str:
    """Measured centers of the sample ring (EN 1092-1 PN16 DN150), some of them moved."""
    places = list(BoltCircle(240, 8, 22).hole_centers())
    for number, dx, dy in changes:
        places[number - 1] += Point(dx, dy)
    file = folder / "measured.csv"
    rows = (f"{number},{at.x + 100:.4f},{at.y:.4f},22.1" for number, at in enumerate(places, 1))
    file.write_text("hole,x,y,diameter\n" + "\n".join(rows), encoding="utf-8")
    return str(file)


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.toml")), ids=lambda path: path.stem)
def test_every_sample_checks_clean(sample: Path, printed: Printed) -> None:
    code, out, _ = printed("check", str(sample), "--json")
    data = json.loads(out)
    assert (code, data["passes"]) == (0, True)


def test_a_broken_limit_fails_the_check(tmp_path: Path, printed: Printed) -> None:
    job = job_file(tmp_path, plate={"outside_diameter": 270, "bore": 170})
    code, out, _ = printed("check", job)
    assert code == 1
    assert out.startswith("T-1: 20 checks: 10 passed, 1 failed, 9 not run (needs bolt; ")
    data = json.loads(printed("check", job, "--json")[1])
    (finding,) = (each for each in data["findings"] if each["fails"])
    assert (finding["rule"], finding["value"], finding["limit"]) == ("edge-metal", 4.0, 5.5)
    assert finding["source"].endswith("published pipe flanges leave 0.32 or more")
    assert finding["cure"].startswith("make the plate larger")


def test_a_contradiction_fails_the_check_with_its_cure(tmp_path: Path, printed: Printed) -> None:
    job = job_file(tmp_path, plate={"outside_diameter": 250, "bore": 170})
    code, out, err = printed("check", job, "--json")
    (finding,) = (each for each in json.loads(out)["findings"] if each["stops"])
    assert (code, err, finding["rule"]) == (1, "", "hole-on-plate")
    assert finding["cure"] == "make the plate larger or move the hole in"


def test_what_cannot_be_read_is_wrong_usage(tmp_path: Path, printed: Printed) -> None:
    assert printed("check", str(tmp_path / "none.toml"))[0] == 2
    assert printed("check", job_file(tmp_path, checks={"ligment": 3}))[0] == 2


def test_the_clocking_of_an_adapter_is_in_the_check(printed: Printed) -> None:
    code, out, _ = printed("check", str(SAMPLES / "intake-adapter.toml"), "--json")
    (clocking,) = json.loads(out)["clocking"]
    assert code == 0
    assert (clocking["best_turn_deg"], clocking["hole_to_hole_deg"], clocking["reason"]) == (22.5, 22.5, "")
    assert len(clocking["curve"]) > 100


def test_the_check_page_is_written_where_it_is_asked_for(tmp_path: Path, printed: Printed) -> None:
    assert printed("check", RING, "--into", str(tmp_path))[0] == 0
    assert [path.name for path in tmp_path.glob("*.pdf")] == ["MB-101-B_checks.pdf"]


def test_a_job_on_a_designation_passes_and_its_overlay_is_drawn(tmp_path: Path, printed: Printed) -> None:
    code, out, _ = printed("mate", RING, "NPS 6 Class 150", "--bolt", "M20", "--into", str(tmp_path))
    assert code == 0
    assert "bolts pass; at the tightest the holes may lie 1.46 mm farther apart" in out
    assert "no class or rating" in out
    names = sorted(path.name for path in tmp_path.iterdir() if path.suffix in (".pdf", ".svg"))
    lead = "MB-101-B_mate_ASME-B16.5-Class-150-NPS-6"
    assert names == [f"{lead}.pdf", f"{lead}_mm.svg"]


def test_two_designations_print_json_and_write_nothing(
    tmp_path: Path, printed: Printed, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    code, out, _ = printed("mate", "DN150 PN16", "NPS 6 Class 150", "--bolt", "22 mm", "--json")
    data = json.loads(out)
    assert (code, data["verdict"], data["open_holes_to"]) == (1, "bolts do not pass", 23.08)
    assert list(tmp_path.iterdir()) == []


def test_a_pattern_of_an_adapter_can_be_named(printed: Printed) -> None:
    sample, line = str(SAMPLES / "intake-adapter.toml"), "EN 1092-1 PN10 DN200"
    for name in ("A", "suction line", "bolt circle A"):
        assert printed("mate", sample, line, "--circle-a", name, "--no-drawing")[0] == 0
    assert printed("mate", sample, line, "--circle-a", "pump side", "--no-drawing")[0] == 1
    code, _, err = printed("mate", sample, line, "--circle-a", "C", "--no-drawing")
    assert (code, "it has bolt circle A (suction line)" in err) == (2, True)


def test_tapped_holes_are_told_by_their_thread_and_their_face(tmp_path: Path, printed: Printed) -> None:
    sample = tmp_path / "J.toml"
    circle = {"standard": "EN 1092-1 PN16 DN150", "kind": "tapped", "thread": "M20"}
    for more, told in (
        ({}, "8 holes tapped M20\n"),
        ({"depth": 30}, "8 holes tapped M20, blind from the named face\n"),
        ({"depth": 30, "worked_from": "back"}, "8 holes tapped M20, blind from the back, joined at its back\n"),
    ):
        plate = {"outside_diameter": 285, "bore": 100, "thickness": 45}
        sample.write_text(toml_text(job_data(plate=plate, bolt_circle=[circle | more])), "utf-8")
        _, out, _ = printed("mate", str(sample), "DN150 PN16", "--bolt", "M20", "--no-drawing")
        assert told in out
        assert "8 holes of 22 mm; the drilling alone" in out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("DN150 PN16", "NPS 6 Class 150", "--bolt", "thick"), '--bolt: "thick" is no bolt'),
        (("DN150 PN16", "no such flange"), "is in no table"),
        (("missing.toml", "DN150 PN16"), "cannot be read"),
        (("wheel hub 5x100", "DN150 PN16"), "lists no hole diameter"),
    ],
)
def test_what_cannot_be_laid_is_wrong_usage(arguments: tuple[str, ...], words: str, printed: Printed) -> None:
    code, out, err = printed("mate", *arguments)
    assert (code, out) == (2, "")
    assert words in err


def test_a_good_part_passes_and_its_report_is_written(tmp_path: Path, printed: Printed) -> None:
    code, out, _ = printed("inspect", RING, positions(tmp_path, (1, 0.1, 0.1)), "--into", str(tmp_path))
    assert code == 0
    assert out.startswith("Holes good to use: what was measured of them keeps its limits; no limits for the width of")
    assert (tmp_path / "MB-101-B_inspection.pdf").read_bytes().startswith(b"%PDF-1.6")


def test_a_bad_part_fails_with_the_hole_and_the_rework(tmp_path: Path, printed: Printed) -> None:
    measured = positions(tmp_path, (3, 6.0, 0.0))
    code, out, _ = printed("inspect", RING, measured, "--json", "--no-report")
    data = json.loads(out)
    assert (code, data["verdict"]) == (1, "part does not pass")
    assert [hole["hole"] for hole in data["holes"] if hole["passes"] is False] == ["3"]
    assert [each["hole"] for each in data["mates"][0]["rework"]] == ["3"]
    assert [path.name for path in tmp_path.iterdir()] == ["measured.csv"]


def test_no_bolt_is_tried_in_threads(tmp_path: Path, printed: Printed) -> None:
    job = tmp_path / "T.toml"
    circle = {"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M20"}
    plate = {"outside_diameter": 285, "bore": 100, "thickness": 45}
    job.write_text(toml_text(job_data(plate=plate, bolt_circle=[circle])), "utf-8")
    for option in (("--mate", "DN150 PN16"), ("--bolt", "M20")):
        code, _, err = printed("inspect", str(job), positions(tmp_path), *option, "--no-report")
        assert code == 2
        assert f"{option[0]}: no bolt is tried in threads here" in err


def test_a_part_is_held_against_a_given_mate(tmp_path: Path, printed: Printed) -> None:
    arguments = ("inspect", RING, positions(tmp_path), "--mate", "NPS 6 Class 150", "--json", "--no-report")
    data = json.loads(printed(*arguments)[1])
    # Room by hand: (22.1 - 20)/2 + (22.225 - 20)/2 - 0.65 = 1.5125.
    assert data["mates"][0]["room"] == pytest.approx(1.5125, abs=1e-4)
    assert printed(*arguments, "--bolt", "22 mm")[0] == 1, "22.225 mm of NPS 6, 0.65 mm aside, takes no 22 mm bolt"


def test_positions_that_cannot_be_read_are_wrong_usage(tmp_path: Path, printed: Printed) -> None:
    bad = tmp_path / "bad.csv"
    bad.write_text("x,y\n1,2\nthree,4\n", encoding="utf-8")
    code, _, err = printed("inspect", RING, str(bad), "--no-report")
    assert (code, "line 3" in err, str(bad) in err) == (2, True, True)
    assert printed("inspect", RING, str(tmp_path / "none.csv"))[0] == 2


def test_a_report_of_somebody_else_is_not_overwritten(tmp_path: Path, printed: Printed) -> None:
    (tmp_path / "MB-101-B_inspection.pdf").write_text("mine", encoding="utf-8")
    assert printed("inspect", RING, positions(tmp_path), "--into", str(tmp_path))[0] == 2
    assert (tmp_path / "MB-101-B_inspection.pdf").read_text(encoding="utf-8") == "mine"
