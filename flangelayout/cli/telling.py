"""Problems on standard error, and what was left alone, with what to type instead."""

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import click

from flangelayout.errors import FlangeLayoutError

if TYPE_CHECKING:
    from flangelayout.files.store import Refusal

FAULT = 3
"""Exit code of a fault of this program."""

_DIGITS = 10
_LONGEST = 2_000
"""Most characters of one line that is told; what is longer says how much was left out."""


def tell_problems(lines: Iterable[str]) -> None:
    """Print problems on standard error, one line each, none of them endless."""
    for line in lines:
        told = f"flangelayout: {line}"
        if len(told) > _LONGEST:
            rest = f" ... ({len(told) - _LONGEST + 100} characters more)"
            told = told[: _LONGEST - 100] + rest
        click.echo(told, err=True)


def lines_told(wrong: FlangeLayoutError) -> tuple[str, ...]:
    """The lines of an error, with what to type instead."""
    from flangelayout.english.command_line import COMMAND_LINE
    from flangelayout.english.sentences import lines_of

    return lines_of(wrong, COMMAND_LINE)


def refusal_line(refusal: "Refusal") -> str:
    """What is left alone, why, and the cures."""
    from flangelayout.english.command_line import COMMAND_LINE
    from flangelayout.english.sentences import line_of
    from flangelayout.packet.names import next_revision

    before, asked = refusal.before, refusal.asked
    if before is None or asked is None:
        return line_of(refusal.problem, COMMAND_LINE)
    if before.source == asked.source:
        told = f"{before.source} as it was then (digest {before.digest[:_DIGITS]}), and has changed since"
    else:
        told = f"{before.source} (digest {before.digest[:_DIGITS]}), and {asked.source} is another job"
    following = next_revision(asked.revision)
    revision = f'revision = "{following}"' if following else "another revision"
    return (
        f"{asked.number} rev {asked.revision} was drawn into {refusal.path} before from {told} "
        f"(digest {asked.digest[:_DIGITS]}); write {revision} or another number into its [job], "
        "or replace what was drawn: --force"
    )


@contextmanager
def progress(count: int) -> Iterator[Callable[[int, int], None]]:
    """A bar on a terminal while so many pieces of work are done, nothing elsewhere; what comes back moves it."""
    if count < 2 or not sys.stderr.isatty():
        yield lambda _done, _all: None
        return
    from rich.console import Console
    from rich.progress import Progress

    console = Console(stderr=True)
    with Progress(console=console, transient=True) as bar:
        task = bar.add_task("drawing", total=count)
        yield lambda finished, _all: bar.update(task, completed=finished)
