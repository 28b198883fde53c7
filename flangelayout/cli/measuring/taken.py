"""Readings as options of a command: one option per kind, and as many lengths after it as were read."""

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeVar

import click

from flangelayout.errors import Problem, UnitError
from flangelayout.survey.kinds import KINDS, Kind, Span
from flangelayout.survey.readings import Reading
from flangelayout.units import Unit, parse_length
from flangelayout.value import replace

TAKEN = "flangelayout.taken"
"""Where the readings of a call are kept in click's context."""

_Command = TypeVar("_Command", bound=Callable[..., Any])
_SPANNING = {
    Span.TWO_HOLES: ("LENGTH[@SPAN]...", "; any number of them"),
    Span.TO_AN_EDGE: ("LENGTH...", "; any number of them"),
    Span.POSITION: ("LENGTH...", "; any number of them"),
    Span.ONE_SIZE: ("LENGTH", ""),
}
_KINDS = tuple((kind, row) for kind, row in KINDS.items() if row.option)
_TRADE_WORDS = {
    "--od": "--outside-diameter",
    "--id": "--bore",
    "--hole": "--hole-diameter",
    "--stud": "--stud-diameter",
}
_SOUGHT = ("--pcd", "--bcd", "--bolt-circle")
_BETWEEN = re.compile(r"[;,](?=\d+\.)|;")
_PLAIN = re.compile(r"\d+(?:[.,]\d+)?(?:@\S+)?")
_FRACTION = re.compile(r"\d{1,3}/\d{1,3}\S*")
_UNIT = re.compile(r"(?:mm|cm|m|in|inch|inches|ft|[\"″”'])\.?(?:@\S*)?", re.IGNORECASE)


class SeveralReadings(click.Command):
    """A command whose reading options take every length that stands after them: ``--same-edges 68.8 69.0 68.7``."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """As click does, with the option set again before each further length."""
        return super().parse_args(ctx, list(_each_after_its_option(args)))


def _each_after_its_option(args: list[str]) -> Iterator[str]:
    """The arguments with a reading option before every length of it; ``3 3/4 in`` without quotes is one length."""
    flags = {f"--{row.option}" for _, row in _KINDS}
    at = 0
    while at < len(args):
        flag, at = _TRADE_WORDS.get(args[at], args[at]), at + 1
        if flag in _SOUGHT:
            raise click.UsageError(
                f"{flag} is what readings find; what to read on a known one says --expect {_next(args, at)}"
            )
        if flag not in flags:
            yield flag
            continue
        lengths: list[str] = []
        while at < len(args) and not args[at].startswith("-") and "=" not in args[at]:
            if lengths and _goes_on(lengths[-1], args[at]):
                lengths[-1] += f" {args[at]}"
            else:
                lengths += _parted(args[at])
            at += 1
        if not lengths:
            yield flag
        for length in lengths:
            yield from (flag, length)


def _parted(word: str) -> list[str]:
    """``68.8,69.0`` and ``68.8;69.0`` as two lengths; ``68,8`` is one, with a decimal comma."""
    parts = _BETWEEN.split(word)
    return parts if len(parts) > 1 and all(map(_PLAIN.fullmatch, parts)) else [word]


def _next(args: list[str], at: int) -> str:
    return args[at] if at < len(args) else "240"


def _goes_on(length: str, word: str) -> bool:
    """Whether a word is the rest of a length: the fraction after whole inches, or the unit."""
    return bool(_UNIT.fullmatch(word)) or (length.isdecimal() and bool(_FRACTION.fullmatch(word)))


def reading_options(command: _Command) -> _Command:
    """Adds one option per kind of reading; what they take is kept in the context's ``meta``."""
    for kind, row in reversed(_KINDS):
        metavar, words = _SPANNING[row.span]
        command = click.option(
            f"--{row.option}",
            kind.name,
            multiple=True,
            metavar=metavar,
            expose_value=False,
            callback=_take(kind),
            help=f"{row.help}{words}.",
        )(command)
    return command


def _take(kind: Kind) -> Callable[[click.Context, click.Parameter, tuple[str, ...]], None]:
    def keep(context: click.Context, _: click.Parameter, values: tuple[str, ...]) -> None:
        context.meta.setdefault(TAKEN, {})[kind] = values

    return keep


def sizes_taken(context: click.Context, unit: Unit, problems: list[Problem]) -> dict[Kind, float | None]:
    """The single sizes among the readings of a call, in mm; what is no length is told to ``problems``."""
    taken: Mapping[Kind, tuple[str, ...]] = context.meta.get(TAKEN, {})
    sizes = ((kind, row) for kind, row in _KINDS if row.span is Span.ONE_SIZE)
    return {
        kind: length_of(text, f"--{row.option}", unit, problems) for kind, row in sizes for text in taken.get(kind, ())
    }


def readings_taken(
    context: click.Context, unit: Unit, pitches: int | None, problems: list[Problem]
) -> Iterator[Reading]:
    """The readings of a call in the order of their kinds; what is none is told to ``problems``.

    Args:
        context: Of the call.
        unit: Of plain numbers.
        pitches: What a reading of two holes spans that does not say it; its kind's usual span where it is None.
        problems: Where what is wrong is told.
    """
    taken: Mapping[Kind, tuple[str, ...]] = context.meta.get(TAKEN, {})
    for kind, row in _KINDS:
        flag = f"--{row.option}"
        for text in taken.get(kind, ()):
            length, span = text, ""
            if row.span is Span.TWO_HOLES:
                length, _, span = text.partition("@")
            value = length_of(length, flag, unit, problems)
            if value is None:
                continue
            reading = Reading(kind, value, unit=_written_unit(length, unit), where=f"{flag} {text}")
            if row.span is Span.TWO_HOLES:
                yield _spanning(reading, span, pitches, problems)
            else:
                yield reading


def length_of(text: str | None, where: str, unit: Unit, problems: list[Problem]) -> float | None:
    """The length of an option in mm; a problem is kept and None comes back."""
    if text is None:
        return None
    try:
        return parse_length(text, unit)
    except UnitError as error:
        problems += error.placed(where)
        return None


def _written_unit(text: str, unit: Unit) -> Unit:
    """Inches for a text that says so, else the unit of plain numbers."""
    if re.search(r"in|[\"″”]|''", text):
        return Unit.IN
    return Unit.MM if re.search(r"m", text) else unit


def _spanning(reading: Reading, span: str, pitches: int | None, problems: list[Problem]) -> Reading:
    match = re.fullmatch(r"\s*(\d{1,4})\s*(?:-\s*(\d{1,4})\s*)?", span)
    if not span:
        return replace(reading, pitches=KINDS[reading.kind].usual_pitches if pitches is None else pitches)
    if match is None:
        problems.append(Problem(reading.where, f'"@{span}" is no span; write @2 for two pitches or @1-3 for two holes'))
        return reading
    if match[2] is None:
        return replace(reading, pitches=int(match[1]))
    return replace(reading, from_hole=int(match[1]), to_hole=int(match[2]))
