"""How lists are read where they do not say it themselves, as options that commands share. Light to load."""

from collections.abc import Callable, Sequence
from functools import wraps
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from flangelayout.batch.meant import ListReading

_Command = Callable[..., int]


def list_options(command: _Command) -> _Command:
    """A command with ``--units`` and ``--standard``, which it takes together as ``reading``."""

    @click.option("--units", type=click.Choice(["mm", "in"]), help="Of the lengths of a list that does not say.")
    @click.option(
        "--standard",
        "standards",
        multiple=True,
        metavar="NAME",
        help="Meant where a designation of a list fits several.",
    )
    @wraps(command)
    def with_reading(*arguments: object, units: str | None, standards: Sequence[str], **others: object) -> int:
        return command(*arguments, reading=_reading(units, standards), **others)

    return with_reading


def _reading(units: str | None, standards: Sequence[str]) -> "ListReading":
    from flangelayout.batch.meant import ListReading, known_standards
    from flangelayout.units import Unit

    known = known_standards(standards, "--standard") if standards else ()
    return ListReading(Unit(units) if units else None, known)
