"""The README is held to: every command and option it shows is there, its job is sound, its pictures stand."""

import re
import shlex
from pathlib import Path

import click

import flangelayout
from flangelayout.cli import commands
from flangelayout.job.load import job_from_text
from flangelayout.packet.job import build_packet
from rows import every_row

PROJECT = Path(flangelayout.__file__).parents[1]
TEXT = (PROJECT / "README.md").read_text(encoding="utf-8")
SHOWN = sorted(
    set(re.findall(r"^ {4}(flangelayout .+?)(?: {2,}#.*)?$|`(flangelayout [a-z]+ [^`]+)`", TEXT, re.MULTILINE))
)


def test_it_opens_with_one_paragraph_that_states_the_job_and_stays_short() -> None:
    title, job, *_ = TEXT.split("\n\n")
    assert title == "# flangelayout"
    assert job.startswith("flangelayout turns what a fabricator knows about a bolted flange")
    assert len(TEXT.splitlines()) <= 150


@every_row("line", ["".join(found) for found in SHOWN])
def test_every_command_it_shows_is_there_with_its_options(line: str) -> None:
    _, name, *rest = shlex.split(line, comments=True)
    if name == "COMMAND":
        return
    command = commands.get_command(click.Context(commands), name)
    assert command is not None
    known = {option for parameter in command.params for option in (*parameter.opts, *parameter.secondary_opts)}
    assert {word for word in rest if word.startswith("--")} <= known | {"--help"}
    files = [word for word in rest if word.startswith("samples/")]
    assert all((PROJECT / file).is_file() for file in files)


def test_its_job_is_sound_and_makes_a_packet() -> None:
    (block,) = re.findall(r"```toml\n(.*?)```", TEXT, re.DOTALL)
    job = job_from_text(block)
    assert job.flange.bolt_circles[0].diameter == 240.0
    assert len(build_packet(job)) >= 7


def test_its_pictures_are_there() -> None:
    assert [path for path in re.findall(r"\]\((samples/[^)]+)\)", TEXT) if not (PROJECT / path).is_file()] == []
