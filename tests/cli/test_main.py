"""The command line as a whole: help texts, wrong usage, exit codes.

The help texts are kept in ``help_texts/``; ``python tests/cli/test_main.py`` (with the project and ``tests``
on the path) writes them anew, to be read in review.
"""

import re
from pathlib import Path

import click
import pytest

import flangelayout
from flangelayout import cli
from flangelayout.cli import commands, main, run
from flangelayout.errors import GeometryError, SurveyError
from jobs import job_data, toml_text
from rows import every_row

TEXTS = Path(__file__).parent / "help_texts"
NAMES = commands.list_commands(click.Context(commands))


def help_text(name: str) -> str:
    """Help of a command, or of the whole program for an empty name, as it is on a terminal of 80 columns."""
    command = commands.get_command(click.Context(commands), name) if name else commands
    assert command is not None
    parent = click.Context(commands, info_name="flangelayout", terminal_width=80, help_option_names=["-h", "--help"])
    context = click.Context(command, parent=parent, info_name=name, terminal_width=80) if name else parent
    return command.get_help(context) + "\n"


def words(text: str) -> str:
    """A help text without its line breaks, which belong to the terminal and to click.

    A command that was called without its group keeps a help option without its short name.
    """
    return re.sub(r"\s+", " ", text).replace("-h, --help", "--help")


@every_row("name", ["", *NAMES])
def test_help_texts_are_as_reviewed(name: str) -> None:
    kept = (TEXTS / f"{name or 'flangelayout'}.txt").read_text(encoding="utf-8")
    assert words(help_text(name)) == words(kept)


def test_every_kept_help_text_is_that_of_a_command() -> None:
    assert {path.stem for path in TEXTS.glob("*.txt")} == {"flangelayout", *NAMES}


@every_row("name", NAMES)
def test_help_is_printed_and_is_no_error(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run([name, "--help"]) == 0
    out, err = capsys.readouterr()
    assert out.startswith(f"Usage: flangelayout {name} ")
    assert err == ""


def test_the_version_is_that_of_the_package(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--version"]) == 0
    assert capsys.readouterr().out == f"flangelayout, version {flangelayout.__version__}\n"


def test_a_misspelled_command_gets_a_suggestion(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["drw", "x.toml"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.splitlines()[-1] == "Error: No such command 'drw'; did you mean draw?"


def test_a_command_that_is_nothing_like_any_gets_the_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["qqqq"]) == 2
    assert capsys.readouterr().err.splitlines()[-1].endswith(f"there are {', '.join(NAMES)}")


@every_row("arguments", [["draw"], ["draw", "--bogus"], ["--bogus"], ["keys", "a", "b"]])
def test_wrong_usage_is_exit_2_without_a_traceback(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.splitlines()[-1].startswith("Error: ")
    assert "Traceback" not in err


@pytest.mark.parametrize(
    ("error", "code", "shown"),
    [
        (SurveyError("readings disagree"), 1, "flangelayout: readings disagree\n"),
        (GeometryError("no such circle"), 2, "flangelayout: no such circle\n"),
        (KeyboardInterrupt(), 130, "stopped; whatever was written is whole\n"),
    ],
    ids=lambda value: type(value).__name__,
)
def test_exit_codes_by_kind_of_error(
    error: BaseException, code: int, shown: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(cli.commands, "main", fail)
    with pytest.raises(SystemExit) as end:
        main([])
    assert end.value.code == code
    assert capsys.readouterr().err.strip() == shown.strip()


if __name__ == "__main__":
    TEXTS.mkdir(exist_ok=True)
    for each in ("", *NAMES):
        (TEXTS / f"{each or 'flangelayout'}.txt").write_text(help_text(each), encoding="utf-8")


def test_a_file_alone_is_drawn_and_its_sheet_gives_the_job_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    job = tmp_path / "H-7.toml"
    job.write_text(toml_text(job_data()))
    assert run(["H-7.toml", "--only", "sheet", "--into", "made"]) == 0
    (sheet,) = (tmp_path / "made").glob("*_sheet.pdf")
    capsys.readouterr()
    assert run([str(sheet), "back.toml"]) == 0
    assert (tmp_path / "back.toml").read_bytes() == job.read_bytes()


def test_a_designation_alone_is_looked_up(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["EN 1092-1 PN16 DN150"]) == 0
    assert "240" in capsys.readouterr().out


def test_a_designation_in_place_of_a_job_is_answered_with_how_to_begin_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["draw", "EN 1092-1 PN16 DN150"]) == 2
    err = capsys.readouterr().err
    assert 'write standard = "EN 1092-1 PN16 DN150" into it' in err
    assert "cannot be read" not in err


@pytest.mark.parametrize("written", ["H-7", "h-7.toml", "H7.toml"])
def test_a_file_named_nearly_right_is_suggested(
    written: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "H-7.toml").write_text("")
    assert run(["draw", str(tmp_path / written)]) == 2
    assert f"did you mean {tmp_path / 'H-7.toml'}?" in capsys.readouterr().err
