"""``flangelayout standards``: the published tables, searched and shown with how far to trust each row."""

import json
import sys
from dataclasses import fields
from enum import Enum

import click

from flangelayout.errors import InputError, Problem
from flangelayout.flange import chord_across
from flangelayout.standards import Confidence, Pattern, all_patterns, all_tables, find, published_row, search
from flangelayout.standards.pattern import DrillingTolerance, Rectangle
from flangelayout.units import Unit, parse_length, size_text
from flangelayout.views.words.origins import match_words

_PIPED_WIDTH = 200
_WITHIN = 1.0


@click.command("standards")
@click.argument("text", nargs=-1)
@click.option("--holes", type=click.IntRange(min=1), help="Only patterns with this many holes.")
@click.option("--diameter", metavar="LENGTH", help='Only bolt circles near this one: "240", "9 1/2 in".')
@click.option("--within", metavar="LENGTH", help="How near to --diameter, plus or minus; 1 mm unless given.")
@click.option("--family", metavar="TEXT", help='Only this kind of part: "pipe", "motor", "wheel", "actuator"...')
@click.option("--json", "as_json", is_flag=True, help="Print the rows as one JSON document, lengths in mm.")
def standards_command(
    text: tuple[str, ...],
    holes: int | None,
    diameter: str | None,
    within: str | None,
    family: str | None,
    as_json: bool,
) -> None:
    """List published drilling patterns.

    TEXT is a designation or part of one, as people write it: "EN 1092-1 PN16 DN150", 6in class 150,
    JIS 10K 100A, FF215, 5x114.3. Without TEXT and filters the tables themselves are listed. A length
    without a unit is in mm.
    """
    written = " ".join(text)
    span = _span(diameter, within)
    if not (written or holes or span or family or as_json):
        _print_tables()
        return
    found = search(written, hole_count=holes, diameter_between=span, family=family)
    if not found:
        raise _nothing_found(written)
    if as_json:
        click.echo(json.dumps([_row(pattern) for pattern in found], indent=2, ensure_ascii=False))
    elif len(found) == 1:
        _print_one(found[0])
    else:
        _print_rows(found)


def _span(diameter: str | None, within: str | None) -> tuple[float, float] | None:
    if diameter is None:
        if within is not None:
            raise InputError(Problem("--within", "says how near to --diameter; give --diameter as well"))
        return None
    middle = parse_length(diameter)
    reach = parse_length(within) if within is not None else _WITHIN
    if middle <= 0 or reach < 0:
        raise InputError(
            Problem("--diameter", f"needs a length above 0 within 0 or more, not {middle:g} within {reach:g}")
        )
    return middle - reach, middle + reach


def _nothing_found(written: str) -> InputError:
    """The error that helps most: the nearest designations, or the options that leave nothing."""
    rows = len(search(written))
    if written and not rows:
        find(written, where="TEXT")  # raises, naming the nearest
    what = f'the {rows} rows that fit "{written}"' if written else f"the {rows} published patterns"
    return InputError(Problem("", f"none of {what} passes the options given; widen --within or drop one"))


def _row(pattern: Pattern) -> dict[str, object]:
    """A row as JSON has it: every field under its own name, lengths in mm."""
    row = {field.name: getattr(pattern, field.name) for field in fields(pattern)}
    row |= {"equally_spaced": pattern.equally_spaced}
    return {key: _plain(value) for key, value in row.items()}


def _plain(value: object) -> object:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, Rectangle | DrillingTolerance):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return value


def _print_tables() -> None:
    from rich.table import Table as Grid

    grid = Grid("Standard", "Edition", "Family", "Rows", "Two sources", "One source", "From memory", box=None)
    for table in all_tables():
        counts = [sum(pattern.confidence is kind for pattern in table.patterns) for kind in Confidence]
        cells = (len(table.patterns), *counts)
        grid.add_row(table.standard, table.edition, table.family.value, *(str(count) for count in cells))
    _print(grid)
    click.echo(f'{len(all_patterns())} rows. Add a text to list some: flangelayout standards "PN16 DN150"')


def _print_rows(patterns: tuple[Pattern, ...]) -> None:
    from rich.markup import escape
    from rich.table import Table as Grid

    grid = Grid("Designation", "Holes", "Bolt circle", "Hole", "Outside", "Bolt", "Trust", "Note", box=None)
    for pattern in patterns:
        cells = (
            pattern.designation,
            str(pattern.hole_count),
            _length(pattern.bolt_circle, pattern.unit),
            _length(pattern.hole_diameter, pattern.unit),
            _length(pattern.outside_diameter, pattern.unit),
            pattern.bolt or "-",
            pattern.confidence.words,
            pattern.note,
        )
        grid.add_row(*(escape(cell) for cell in cells))
    _print(grid)
    click.echo(f"{len(patterns)} rows")


def _print_one(pattern: Pattern) -> None:
    """One row in full: what a caliper should read, where the values are from, what to look out for."""
    unit = pattern.unit
    lengths = (
        ("bolt circle", pattern.bolt_circle),
        ("hole", pattern.hole_diameter),
        ("outside diameter", pattern.outside_diameter),
        ("bore or spigot", pattern.bore),
        ("thickness", pattern.thickness),
        ("raised face", pattern.raised_face_diameter),
    )
    lines = [("holes", str(pattern.hole_count)), *((name, _length(value, unit)) for name, value in lengths if value)]
    if pattern.equally_spaced:
        lines.append(("chord, center to center", f"{chord_across(pattern.bolt_circle, pattern.hole_count):.2f} mm"))
    optional = (("bolt", pattern.bolt), ("drilling tolerance", _tolerance(pattern)), ("note", pattern.note))
    lines += [(name, text) for name, text in optional if text]
    lines += [("sources", pattern.sources), ("trust", pattern.confidence.words)]
    width = max(len(name) for name, _ in lines)
    click.echo(pattern.designation)
    for name, text in lines:
        click.echo(f"  {name:<{width}}  {text}")
    click.echo(f"{match_words([published_row(pattern)])}.")


def _tolerance(pattern: Pattern) -> str:
    if pattern.circle_tolerance is None or pattern.chord_tolerance is None:
        return ""
    trust = f", {pattern.tolerance_confidence.words}" if pattern.tolerance_confidence else ""
    return f"bolt circle ±{pattern.circle_tolerance:g} mm, adjacent holes ±{pattern.chord_tolerance:g} mm{trust}"


def _length(value: float | None, unit: Unit) -> str:
    """A length in the published unit, with the millimetres beside inches."""
    if value is None:
        return "-"
    if unit is Unit.MM:
        return f"{size_text(value, Unit.MM)} mm"
    return f"{size_text(value, Unit.IN)} in ({size_text(value, Unit.MM)} mm)"


def _print(grid: object) -> None:
    """A table as wide as the window, or wide enough for every row where the output is piped."""
    from rich.console import Console

    console = Console(file=sys.stdout, highlight=False)
    if not console.is_terminal:
        console = Console(file=sys.stdout, width=_PIPED_WIDTH, highlight=False)
    console.print(grid)
