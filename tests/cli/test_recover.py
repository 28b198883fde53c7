"""``flangelayout recover``."""

from pathlib import Path

import pytest

from flangelayout.cli import run
from flangelayout.job.load import load_job
from flangelayout.packet.job import Part, build_packet
from jobs import job_data, toml_text


def drawn(folder: Path, number: str | None = "H-114") -> tuple[Path, bytes]:
    """A sheet in a folder, and the job file it was drawn from, which is elsewhere."""
    content = toml_text(job_data(job={"number": number} if number else {"title": "x"})).encode()
    file = folder / "jobs" / "plate.toml"
    file.parent.mkdir()
    file.write_bytes(content)
    packet = build_packet(load_job(file), (Part.SHEET,))
    sheet = folder / "found.pdf"
    sheet.write_bytes(next(data for name, data in packet.items() if name.endswith("_sheet.pdf")))
    return sheet, content


def test_the_file_comes_back_beside_the_sheet_under_its_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet, content = drawn(tmp_path)
    assert run(["recover", str(sheet)]) == 0
    assert (tmp_path / "plate.toml").read_bytes() == content
    assert "as on the sheet" in capsys.readouterr().out


def test_it_can_be_given_another_name(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet, content = drawn(tmp_path)
    assert run(["recover", str(sheet), str(tmp_path / "other.toml")]) == 0
    assert (tmp_path / "other.toml").read_bytes() == content
    assert "as on the sheet" in capsys.readouterr().out


def test_another_name_for_a_job_without_a_number_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet, _ = drawn(tmp_path, number=None)
    assert run(["recover", str(sheet), str(tmp_path / "other.toml")]) == 0
    assert "the sheet says" in capsys.readouterr().out


def test_nobodys_file_is_overwritten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet, content = drawn(tmp_path)
    target = tmp_path / "plate.toml"
    target.write_bytes(b"mine")
    assert run(["recover", str(sheet)]) == 2
    assert target.read_bytes() == b"mine"
    assert "is already there" in capsys.readouterr().err
    assert run(["recover", str(sheet), "--force"]) == 0
    assert target.read_bytes() == content
    assert run(["recover", str(sheet)]) == 0


@pytest.mark.parametrize("content", [b"", b"no pdf", b"%PDF-1.6\n%%EOF\n"])
def test_what_is_no_sheet_is_one_clear_line(tmp_path: Path, capsys: pytest.CaptureFixture[str], content: bytes) -> None:
    path = tmp_path / "x.pdf"
    path.write_bytes(content)
    assert run(["recover", str(path)]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
    assert run(["recover", str(tmp_path / "absent.pdf")]) == 2
    assert "cannot be read" in capsys.readouterr().err
