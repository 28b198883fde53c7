"""The starter jobs: commented, found from anywhere, and each a job that can be drawn as it is."""

import tomllib

import pytest

from flangelayout.errors import OutputError
from flangelayout.files import templates
from flangelayout.files.starters import starters
from flangelayout.job import job_from_text
from flangelayout.packet.job import Part, build_packet


def test_the_three_usual_plates_have_a_starter() -> None:
    assert {"adapter", "blind", "ring-flange"} <= set(starters())


@pytest.mark.parametrize("kind", sorted(starters()))
def test_a_starter_is_a_sound_job_and_says_what_it_is(kind: str) -> None:
    starter = starters()[kind]
    text = starter.content.decode()
    job = job_from_text(text, name=kind)
    assert starter.summary
    assert text.count("#") >= 5
    assert "flangelayout draw" in text
    assert build_packet(job, [Part.CUT, Part.HOLES])


@pytest.mark.parametrize("kind", ["blind", "ring-flange"])
def test_every_line_a_starter_offers_in_a_comment_can_be_used(kind: str) -> None:
    text = starters()[kind].content.decode()
    lines = [line.removeprefix("# ") if _is_offer(line) else line for line in text.splitlines()]
    either_or = ("standard", "angles", "placement", "centerline")
    offered = "\n".join(line for line in lines if not line.startswith(either_or))
    assert tomllib.loads(offered) != tomllib.loads(text)
    job_from_text(offered)


def _is_offer(line: str) -> bool:
    """A comment that is a key with a value or a table, and no sentence."""
    body = line.removeprefix("# ")
    return line.startswith("# ") and (body.startswith("[") or body.split(" = ")[0].isidentifier())


def test_a_damaged_installation_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: object) -> None:
    monkeypatch.setattr(templates, "__file__", f"{tmp_path}/flangelayout/files/templates.py")
    with pytest.raises(OutputError, match="starter jobs are missing; install flangelayout again"):
        starters()
