"""``flangelayout new``."""

import re
from pathlib import Path

import pytest

from flangelayout import load_job
from flangelayout.cli import run
from flangelayout.files.settings import settings_folder
from flangelayout.files.starters import samples, starter_copy, starters
from flangelayout.units import Unit


def test_without_a_kind_it_lists_every_starter(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["new"]) == 0
    heading, *lines, samples_line = capsys.readouterr().out.splitlines()
    assert samples_line.startswith("Samples to draw as they are: header-ring, intake-adapter")
    assert heading == "Starter jobs (flangelayout new KIND [FILE.toml]):"
    assert [line.split()[0] for line in lines] == [*starters(), "list"]
    assert all(starter.summary in line for starter, line in zip(starters().values(), lines[:-1], strict=True))


@pytest.mark.slow
def test_a_copy_can_be_drawn_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for kind, starter in starters().items():
        assert run(["new", kind]) == 0
        assert capsys.readouterr().out == f"wrote {kind}.toml; edit it, then: flangelayout draw {kind}.toml\n"
        copied = (tmp_path / f"{kind}.toml").read_bytes()
        assert without_number(copied) == without_number(starter.content)
        assert load_job(tmp_path / f"{kind}.toml").info.number == kind
        assert run(["draw", f"{kind}.toml", "--only", "cut"]) == 0
        capsys.readouterr()


def test_a_copy_can_have_a_name(tmp_path: Path) -> None:
    assert run(["new", "adapter", str(tmp_path / 'H-114 "b".toml')]) == 0
    path = tmp_path / 'H-114 "b".toml'
    assert load_job(path).info.number == 'H-114 "b"'
    assert 'flangelayout draw "H-114 "b".toml"' in path.read_text(encoding="utf-8").splitlines()[2]


def without_number(content: bytes) -> bytes:
    return re.sub(rb'(?m)^number = "[^"]*"', b"", content, count=1)


@pytest.mark.slow
def test_two_copies_never_make_the_same_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for name in ("n1", "n2"):
        assert run(["new", "adapter", f"{name}.toml"]) == 0
        assert f"flangelayout draw {name}.toml" in Path(f"{name}.toml").read_text(encoding="utf-8")
    assert run(["draw", "n1.toml", "n2.toml", "--only", "holes"]) == 0
    assert {"n1-A_holes_mm.csv", "n2-A_holes_mm.csv"} <= {path.name for path in tmp_path.iterdir()}


@pytest.mark.slow
@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("kind", starters())
def test_in_a_shop_of_another_unit_a_copy_is_the_same_plate_in_that_unit(kind: str, unit: Unit, tmp_path: Path) -> None:
    starter, path = starters()[kind], tmp_path / f"{kind}.toml"
    path.write_bytes(starter_copy(starter, path, None))
    as_it_is = load_job(path)
    path.write_bytes(starter_copy(starter, path, unit))
    copied = load_job(path)
    assert copied.unit is unit
    theirs, ours = as_it_is.flange.holes(), copied.flange.holes()
    assert [hole.center for hole in ours] == [hole.center for hole in theirs]
    assert [hole.diameter for hole in ours] == [hole.diameter for hole in theirs]
    assert copied.flange.box() == as_it_is.flange.box()
    assert (copied.flange.bore, copied.flange.thickness) == (as_it_is.flange.bore, as_it_is.flange.thickness)
    opened_up = re.sub(r"(?m)^# (?=[a-z_]+ = )", "", path.read_text(encoding="utf-8"))
    bare = re.findall(r"(?m)^(?:raised_face_diameter|raised_face_height|kerf|lead_in|mate_thickness) = \d", opened_up)
    assert unit is as_it_is.unit or not bare


def test_a_copy_takes_the_unit_of_the_shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    settings_folder().mkdir(parents=True)
    (settings_folder() / "shop.toml").write_text('units = "in"\n', encoding="utf-8")
    assert run(["new", "blind", str(tmp_path / "b.toml")]) == 0
    assert load_job(tmp_path / "b.toml").unit is Unit.IN


def test_nothing_is_overwritten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "mine.toml"
    path.write_bytes(b"mine")
    assert run(["new", "adapter", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err == f"flangelayout: {path}: is already there; name another file: flangelayout new adapter FILE.toml\n"
    assert path.read_bytes() == b"mine"


def test_an_unknown_kind_gets_a_suggestion_or_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["new", "adaptor"]) == 2
    assert (
        capsys.readouterr().err == 'flangelayout: new: there is no starter or sample "adaptor"; did you mean adapter?\n'
    )
    assert run(["new", "zzz"]) == 2
    known = ", ".join((*starters(), "list", *samples()))
    assert capsys.readouterr().err.endswith(f"there are {known}\n")


def test_a_folder_that_is_not_there_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "none" / "a.toml"
    assert run(["new", "blind", str(path)]) == 2
    assert capsys.readouterr().err == (
        f"flangelayout: {path}: cannot be written (No such file or directory); name another folder\n"
    )


def test_a_job_of_the_keys_of_a_call_is_that_of_its_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Headings of a list, keys of a job, and a standard; ASME B16.5 Class 150 NPS 6: 8 x 7/8 on 9 1/2 in."""
    path = tmp_path / "J-2.toml"
    words = [
        "units=in",
        "flange=6 in 150 lb",
        "thk=15/16",
        "Matl=carbon steel plate",
        "Qty=3",
        "bolt_circle.1.bolt=3/4",
    ]
    assert run(["new", str(path), *words]) == 0
    assert capsys.readouterr().out == f"wrote {path}, in inches; then: flangelayout draw {path}\n"
    job = load_job(path)
    assert (job.info.number, job.info.quantity, job.unit, job.flange.material) == ("J-2", 3, Unit.IN, words[3][5:])
    assert job.flange.thickness == pytest.approx(15 / 16 * 25.4)
    (circle,) = job.flange.bolt_circles
    assert (circle.diameter, circle.hole_count, circle.hole_diameter) == pytest.approx((241.3, 8, 22.225))
    assert run(["new", str(tmp_path / "A.toml"), "OD=340", "PCD (in)=11.5", "holes=8", "bolt_circle.1.bolt=M20"]) == 0
    second = ["bolt_circle.2.diameter=180", "bolt_circle[2].hole_count=4", "bolt_circle.2.bolt=M16"]
    assert run(["new", str(tmp_path / "B.toml"), "OD=340", "PCD (in)=11.5", "holes=8", "bolt=M20", *second]) == 0
    assert "outside_diameter = 340\n" in (tmp_path / "B.toml").read_text(encoding="utf-8"), "a number, not a text"
    circles = load_job(tmp_path / "B.toml").flange.bolt_circles
    assert [(each.diameter, each.hole_count) for each in circles] == [(pytest.approx(292.1), 8), (180, 4)]


def test_a_whole_joint_is_one_call(tmp_path: Path) -> None:
    """A motor on FF215 and a gearbox on 165: circles, dowels, a register, a mate; words of a list for each."""
    path = tmp_path / "M.toml"
    motor = ["OD=250", "ID=130", "thk=25", "flange=IEC 100 B5", "kind=tapped", "thread=M12", "mate_thickness=14"]
    gearbox = ["PCD=165", "holes=4", "kind=tapped", "thread=M10", "worked_from=back", "placement=on-centerline"]
    pins = ["PCD=165", "holes=2", "hole dia=10", "kind=dowel", "start_angle=45"]
    register = ["kind=register", "diameter=180", "depth=5", "fit=H7"]
    mate = ["circle=B", "OD=200", "ID=130", "thk=14", "hole=11", "face=back"]
    below = {"bolt_circle.2": gearbox, "bolt_circle.3": pins, "turned": register, "mate": mate}
    assert (
        run(["new", str(path), *motor, *(f"{table}.{word}" for table, words in below.items() for word in words)]) == 0
    )
    job = load_job(path)
    made = [(circle.diameter, circle.hole_count, circle.hole_diameter) for circle in job.flange.bolt_circles]
    assert made == [
        (215, 4, pytest.approx(10.2)),
        (165, 4, pytest.approx(8.5)),
        (165, 2, 10),
    ]  # ISO 2306 tapping drills
    (turned,), (bolted,) = job.flange.turned, job.flange.mates
    assert (turned.diameter, turned.size, bolted.outside_diameter, bolted.bore, bolted.thickness) == (
        180,
        5,
        200,
        130,
        14,
    )
    assert not [finding for finding in job.findings if finding.failed]


@pytest.mark.parametrize(
    ("words", "unit"),
    [
        (["OD=9 in", "bore=pipe 3 in sch 40, slip-on", "PCD (in)=7.5"], Unit.IN),
        (['OD=9"', "bore=3 in", "PCD=7.5 in"], Unit.IN),
        (["OD=9 in", "bore=3 in", "PCD=190"], Unit.MM),
        (["OD=9 in", "bore=pipe DN80 4, slip-on", "PCD=7.5 in"], Unit.MM),
        (["OD=9", "bore=3", "PCD=7.5", "units=inches"], Unit.IN),
    ],
)
def test_a_job_whose_lengths_are_all_said_in_inches_is_in_inches(words: list[str], unit: Unit, tmp_path: Path) -> None:
    assert run(["new", str(tmp_path / "u.toml"), *words, "holes=4", "bolt=5/8"]) == 0
    assert load_job(tmp_path / "u.toml").unit is unit


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["x.toml", "OD=285", "zzz=3"], "zzz: is no key of a job"),
        (["x.toml", "OD="], "OD=: is no key with its value"),
        (["x.toml", "OD=285", "plate.outside_diameter=300"], "plate.outside_diameter: is written twice"),
        (["x.toml", "thk=20"], "plate.outside_diameter"),
        (["adapter", "x.toml", "OD=285"], '"x.toml" is one word too many'),
        (["OD=285"], "say which job file is to be written"),
        (["x.toml"], "say which comes into it"),
    ],
)
def test_keys_that_make_no_job_are_told_and_nothing_is_written(
    words: list[str], told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["new", *words]) == 2
    assert told in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_a_new_job_and_a_derived_part_are_drawn_at_once_where_asked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["new", "R.toml", "OD=285", "bore=170", "PCD=240", "holes=8", "bolt=M20", "thk=20", "--draw"]) == 0
    assert "wrote     R-A_cut_mm.dxf" in capsys.readouterr().out
    assert run(["derive", "gasket", "R.toml", "--draw"]) == 0
    assert "wrote     R-G-A_cut_mm.dxf" in capsys.readouterr().out
