"""``flangelayout standards``: the published tables, searched and shown with how far to trust each row."""

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import assert_never

import click
from msgspec import to_builtins

from flangelayout.errors import InputError, Problem
from flangelayout.files.settings import settings_folder
from flangelayout.standards import (
    Confidence,
    Pattern,
    PublishedTable,
    all_patterns,
    all_tables,
    matching,
    search,
)
from flangelayout.standards.comparing import longest_chord, neighbor_chord
from flangelayout.standards.designations.answers import Answer, Asked, Found, Missed
from flangelayout.standards.designations.lookup import look_up
from flangelayout.standards.designations.names import Alias, GradeAlias
from flangelayout.standards.designations.problem import missed_problem
from flangelayout.standards.own import own_tables
from flangelayout.units import Unit, counted, decimal_text, parse_length, size_text

_PIPED_WIDTH = 300
_WITHIN = 1.0


@click.command("standards")
@click.argument("text", nargs=-1)
@click.option("--holes", type=click.IntRange(min=1), help="Only patterns with this many holes.")
@click.option("--diameter", metavar="LENGTH", help='Only bolt circles near this one: "240", "9 1/2 in".')
@click.option("--within", metavar="LENGTH", help="How near to --diameter, plus or minus; 1 mm unless given.")
@click.option("--family", metavar="TEXT", help='Only this kind of part: "pipe", "motor", "wheel", "actuator"...')
@click.option("--csv", "csv_file", metavar="FILE", help="Write the rows to this CSV file, lengths in mm.")
@click.option("--force", is_flag=True, help="Overwrite the CSV file, whoever wrote it.")
@click.option("--json", "as_json", is_flag=True, help="Print the rows as one JSON document, lengths in mm.")
def standards_command(
    text: tuple[str, ...],
    holes: int | None,
    diameter: str | None,
    within: str | None,
    family: str | None,
    csv_file: str | None,
    force: bool,
    as_json: bool,
) -> None:
    """List published drilling patterns.

    TEXT is a designation or part of one, as people write it: "EN 1092-1 PN16 DN150", 6in class 150,
    JIS 10K 100A, FF215, 5x114.3. Without TEXT and filters the tables themselves are listed. A length
    without a unit is in mm. Chords are between hole centers: to the next hole, and straight across or as
    near to it as an odd count allows.

    Rows of patterns.csv in the settings folder and in this folder are found as well: the line "# unit: mm", then
    columns name, bolt_circle and holes, and as wanted hole, outside, bore, bolt, source, trust and note.
    """
    written = " ".join(text)
    span = _span(diameter, within)
    if not (written or holes or span or family or csv_file or as_json):
        _print_tables()
        return
    own = own_tables(settings_folder(), Path())
    answer = look_up(written, "TEXT", own) if written else None
    rows = _answering(written, answer, own)
    found = tuple(row for row in rows if row in search("", holes, span, family, own))
    if not found:
        raise InputError(Problem("", _none_left(written, len(rows))))
    if csv_file is not None:
        _write_csv(Path(csv_file), found, force)
    elif as_json:
        click.echo(json.dumps([_row(pattern) for pattern in found], indent=2, ensure_ascii=False))
    elif len(found) == 1:
        _print_one(found[0])
    else:
        _print_rows(found)
    if answer is not None and not as_json:
        for line in _how_it_was_read(answer):
            click.echo(line)


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


def _answering(written: str, answer: Answer | None, own: tuple[PublishedTable, ...]) -> tuple[Pattern, ...]:
    """Every row that answers to the text, the one that is meant first; all rows where there is no text.

    Raises:
        InputError: If none does; it names the nearest.
    """
    match answer:
        case None:
            return search(own=own)
        case Missed():
            raise InputError(missed_problem(answer, "TEXT"))
        case Asked():
            rows: tuple[Pattern, ...] = answer.rows
        case Found():
            rows = (answer.row,)
        case _:
            assert_never(answer)
    others = matching(written, own) if isinstance(answer, Asked) or answer.reading.terms else ()
    return rows + tuple(row for row in others if row not in rows)


def _none_left(written: str, rows: int) -> str:
    what = f'the {rows} rows that fit "{written}"' if written else f"the {rows} published patterns"
    return f"none of {what} passes the options given; widen --within or drop one"


def _how_it_was_read(answer: Answer) -> Iterator[str]:
    """What was read into the text or out of it, in the words of this command."""
    reading = answer.reading
    if reading.without:
        yield f"Read without: {', '.join(reading.without)}"
    for correction in reading.corrections:
        yield f'Read "{correction.read_as}" for "{correction.written}"'
    for alias in reading.aliases:
        yield f"{alias.name} {_is_kept_as(alias)}{f': {alias.note}' if alias.note else ''} ({alias.confidence.words})"
    for grade in () if isinstance(answer, Missed) else answer.grades:
        yield f"{grade.name} {_is_kept_as(grade)}: {grade.note} ({grade.confidence.words})"
    for pairing in reading.pairings:
        note = f"; {pairing.note}" if pairing.note else ""
        yield (
            f"Frame {pairing.frame} {pairing.mounting} has {pairing.flange} as a rule "
            f"({pairing.confidence.words}); the number on the motor decides{note}"
        )


def _is_kept_as(name: Alias | GradeAlias) -> str:
    return "may be read so" if name.doubtful else f"stands in {' and '.join(sorted(name.standards))}"


def _row(pattern: Pattern) -> dict[str, object]:
    """A row as JSON has it: every field under its own name, lengths in mm."""
    return {**to_builtins(pattern), "equally_spaced": pattern.equally_spaced}


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

    heads = ("Designation", "Holes", "Bolt circle", "Chord", "Across", "Hole", "Outside", "Bolt", "Trust", "Note")
    grid = Grid(*heads, box=None)
    for pattern in patterns:
        cells = (
            pattern.designation,
            str(pattern.hole_count),
            _length(pattern.bolt_circle, pattern.unit),
            _reading(neighbor_chord(pattern), pattern.unit),
            _reading(longest_chord(pattern), pattern.unit),
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
    lines += _chords(pattern)
    optional = (("bolt", pattern.bolt), ("drilling tolerance", _tolerance(pattern)), ("note", pattern.note))
    lines += [(name, text) for name, text in optional if text]
    lines += [("sources", pattern.sources), ("trust", pattern.confidence.words)]
    width = max(len(name) for name, _ in lines)
    click.echo(pattern.designation)
    for name, text in lines:
        click.echo(f"  {name:<{width}}  {text}")


def _chords(pattern: Pattern) -> Iterator[tuple[str, str]]:
    """What a caliper reads between hole centers."""
    if pattern.rectangle is not None:
        sides = (pattern.rectangle.long, pattern.rectangle.short)
        yield "sides, center to center", " and ".join(_reading(side, pattern.unit) for side in sides)
    else:
        yield "chord to the next hole", _reading(neighbor_chord(pattern), pattern.unit)
    yield "longest chord", _reading(longest_chord(pattern), pattern.unit)


def _reading(length: float | None, unit: Unit) -> str:
    """A chord as a caliper shows it, with millimeters beside inches."""
    if length is None:
        return "-"
    in_mm = f"{decimal_text(length, Unit.MM)} mm"
    return in_mm if unit is Unit.MM else f"{decimal_text(length, Unit.IN)} in ({in_mm})"


def _write_csv(path: Path, patterns: tuple[Pattern, ...], force: bool) -> None:
    """Every row with its chords, for a spreadsheet."""
    from flangelayout.drawing.model import TextTable
    from flangelayout.files.store import FileStore
    from flangelayout.writers.csv_table import write_csv

    columns = (
        *("designation", "standard", "family", "holes", "bolt_circle_mm", "chord_mm", "longest_chord_mm", "hole_mm"),
        *("outside_mm", "bolt", "trust", "note"),
    )
    rows = tuple(
        (
            *(row.designation, row.standard, row.family.value, str(row.hole_count)),
            *(_plain_mm(row.bolt_circle), _plain_mm(neighbor_chord(row), 3), _plain_mm(longest_chord(row), 3)),
            *(_plain_mm(row.hole_diameter), _plain_mm(row.outside_diameter), row.bolt or ""),
            *(row.confidence.words, row.note),
        )
        for row in patterns
    )
    outcome = FileStore(path.parent).write({path.name: write_csv(TextTable("", columns, rows))}, force)
    click.echo(f"{outcome[path.name].value} {path}, {counted(len(patterns), 'row')}")


def _plain_mm(length: float | None, decimals: int | None = None) -> str:
    """Millimeters without idle zeros, or with a fixed number of decimals; nothing where there is no length."""
    if length is None:
        return ""
    return f"{length:.{decimals}f}" if decimals is not None else f"{length:.6f}".rstrip("0").rstrip(".")


def _tolerance(pattern: Pattern) -> str:
    known = pattern.tolerance
    if known is None or known.chord is None:
        return ""
    circle, chord = (f"±{length:g} mm" for length in (known.circle, known.chord))
    if known.inch_circle and known.inch_chord:
        inches = (decimal_text(length, Unit.IN, 2) for length in (known.inch_circle, known.inch_chord))
        circle, chord = (f"±{inch} in ({metric[1:]})" for inch, metric in zip(inches, (circle, chord), strict=True))
    return f"bolt circle {circle}, adjacent holes {chord}, {known.confidence.words}"


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
