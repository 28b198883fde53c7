"""The starter jobs: commented, found from anywhere, and each a job that can be drawn as it is."""

import re
import tomllib
from pathlib import Path

import pytest

from flangelayout.cli import run
from flangelayout.errors import InputError, OutputError
from flangelayout.files import templates
from flangelayout.files.starters import samples, starters
from flangelayout.flange.claims import met_rows, named_rows
from flangelayout.job.load import job_from_text
from flangelayout.packet.job import Part, build_packet
from rows import every_row


def test_the_three_usual_plates_have_a_starter() -> None:
    assert {"adapter", "blind", "ring-flange"} <= set(starters())


@every_row("kind", sorted(starters()))
def test_a_starter_is_a_sound_job_and_says_what_it_is(kind: str) -> None:
    starter = starters()[kind]
    text = starter.content.decode()
    job = job_from_text(text, name=kind)
    assert starter.summary
    assert text.count("#") >= 5
    assert "flangelayout draw" in text
    assert build_packet(job, [Part.HOLES])


@every_row("kind", ["blind", "ring-flange"])
def test_every_line_a_starter_offers_in_a_comment_can_be_used(kind: str) -> None:
    text = _OR_BLOCK.sub("", starters()[kind].content.decode())
    lines = [line.removeprefix("# ") if _is_offer(line) else line for line in text.splitlines()]
    either_or = ("angles", "placement", "centerline")
    offered = "\n".join(line for line in lines if not line.startswith(either_or))
    assert tomllib.loads(offered) != tomllib.loads(text)
    job_from_text(offered)


def test_the_ring_starter_offers_a_standard_or_numbers_and_never_both() -> None:
    text = starters()["ring-flange"].content.decode()
    (offered,) = _OR_BLOCK.findall(text)
    block = "\n".join(line.removeprefix("# ") for line in offered.splitlines()[1:])
    numbers = re.search(r"^# EITHER.*?(?=^# OR )", text, re.MULTILINE | re.DOTALL)
    assert numbers is not None
    (circle,) = job_from_text(text.replace(numbers[0], block + "\n")).flange.bolt_circles
    assert [row.designation for row in met_rows(circle)] == ["EN 1092-1 PN16 DN150"]
    assert named_rows(job_from_text(text).flange.bolt_circles[0]) == ()
    with pytest.raises(InputError, match="overlap"):
        job_from_text(text.replace(offered, block))


_OR_BLOCK = re.compile(r"^# OR .*?(?=^$)", re.MULTILINE | re.DOTALL)


def _is_offer(line: str) -> bool:
    """A comment that is a key with a value or a table, and no sentence."""
    body = line.removeprefix("# ")
    return line.startswith("# ") and (body.startswith("[") or body.split(" = ")[0].isidentifier())


def test_a_damaged_installation_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: object) -> None:
    monkeypatch.setattr(templates, "__file__", f"{tmp_path}/flangelayout/files/templates.py")
    with pytest.raises(OutputError, match="starter jobs are missing; install flangelayout again"):
        starters()


def test_samples_are_copied_as_they_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert {"intake-ring", "header-ring", "old-suction", "plate-20-list"} <= set(samples())
    for name, path in samples().items():
        assert run(["new", name]) == 0
        assert (tmp_path / path.name).read_bytes() == path.read_bytes()
    assert run(["new", "intake-ring"]) == 2
    assert "is already there" in capsys.readouterr().err
    assert run(["new"]) == 0
    assert "intake-ring" in capsys.readouterr().out
