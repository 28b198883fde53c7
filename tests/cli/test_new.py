"""``flangelayout new``."""

from pathlib import Path

import pytest

from flangelayout.cli import run
from flangelayout.files.starters import starters


def test_without_a_kind_it_lists_every_starter(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["new"]) == 0
    heading, *lines = capsys.readouterr().out.splitlines()
    assert heading == "Starter jobs (flangelayout new KIND [FILE.toml]):"
    assert [line.split()[0] for line in lines] == list(starters())
    assert all(starter.summary in line for starter, line in zip(starters().values(), lines, strict=True))


def test_a_copy_can_be_drawn_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for kind, starter in starters().items():
        assert run(["new", kind]) == 0
        assert capsys.readouterr().out == f"wrote {kind}.toml; edit it, then: flangelayout draw {kind}.toml\n"
        assert (tmp_path / f"{kind}.toml").read_bytes() == starter.content
        assert run(["draw", f"{kind}.toml", "--only", "cut"]) == 0
        capsys.readouterr()


def test_a_copy_can_have_a_name(tmp_path: Path) -> None:
    assert run(["new", "adapter", str(tmp_path / "H-114.toml")]) == 0
    assert (tmp_path / "H-114.toml").read_bytes() == starters()["adapter"].content


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
    assert capsys.readouterr().err == 'flangelayout: new: there is no starter "adaptor"; did you mean adapter?\n'
    assert run(["new", "zzz"]) == 2
    assert capsys.readouterr().err.endswith(f"there are {', '.join(starters())}\n")


def test_a_folder_that_is_not_there_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "none" / "a.toml"
    assert run(["new", "blind", str(path)]) == 2
    assert capsys.readouterr().err == (
        f"flangelayout: {path}: cannot be written (No such file or directory); name another folder\n"
    )
