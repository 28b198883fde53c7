"""Problems on standard error."""

from collections.abc import Iterable

import click

FAULT = 3
"""Exit code of a fault of this program."""

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
