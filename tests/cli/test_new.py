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
