"""The columns of a list: how its cells are read into the tables of a job."""

import re
from collections.abc import Iterator, Sequence
from typing import Any

from msgspec import Struct

from flangelayout.batch.headings import Heading, near_heading, read_heading
from flangelayout.errors import InputError, Problem
from flangelayout.job.schema.tree import Shape
from flangelayout.problems.lists import ListProblem
from flangelayout.units import Unit, names_no_unit

_PLAIN = re.compile(r"[+-]?\d{1,15}\.0*")
_WHOLE = re.compile(r"[+-]?\d{1,15}")
_DECIMAL_COMMA = re.compile(
    r"(?P<whole>[+-]?\d{1,3}(?:\.\d{3})+|[+-]?\d*),(?P<part>\d+)(?P<unit>\s*[a-z\"″.]*)", re.IGNORECASE
)
_THOUSANDS_OR_PART = re.compile(r"[+-]?\d{1,3}\.\d{3}")
_COUNT_AND_SIZE = re.compile(r"(\d{1,4})\s*[x×*]\s*(\S.*)", re.IGNORECASE)
_THREAD = re.compile(r"M\s*\d.*", re.IGNORECASE)
_NUMBERS = (Shape.LENGTH, Shape.ANGLE, Shape.NUMBER, Shape.NUMBERS, Shape.ROWS)
_UNITS = ("units",)

Data = dict[str, Any]


class Columns(Struct, frozen=True):
    """The columns of a list.

    Attributes:
        headings: In order; ``None`` for a column without a heading, or one that is marked as not for this program.
        ignored: Indexes of those that are so marked.
        unit: Of a bare length that neither its row nor its heading gives one.
        decimal_commas: Whether the numbers of the list are written with them.
    """

    headings: tuple[Heading | None, ...]
    ignored: frozenset[int]
    unit: Unit | None
    decimal_commas: bool = False


def known_share(cells: Sequence[str]) -> int:
    """How many cells of a row are headings, if at least half of those that hold something are; otherwise 0."""
    held = [cell for cell in cells if cell.strip()]
    known = sum(read_heading(cell) is not None for cell in held[:500])
    return known if 2 * known >= len(held) else 0


def read_head(names: Sequence[str], unit: Unit | None = None, decimal_commas: bool = False) -> Columns:
    """The columns of a list.

    Args:
        names: As written: ``plate.outside_diameter``, ``bolt_circle[2].diameter``, ``designation``, ``OD (mm)``; one
            that begins with ``#`` is not for this program.
        unit: Of lengths that nothing in the list gives one.
        decimal_commas: Whether its numbers are written with them.

    Raises:
        InputError: With every name that means nothing or what another one means, or if no unit is said.
    """
    marked = frozenset(index for index, name in enumerate(names) if name.lstrip().startswith("#"))
    own = {index: name for index, name in enumerate(names) if name.strip() and index not in marked}
    read = {index: read_heading(name) for index, name in own.items()}
    problems = [_unknown(name) for index, name in own.items() if read[index] is None]
    problems += _twice([heading for heading in read.values() if heading])
    if not own:
        problems.append(Problem("", ListProblem.NO_HEADINGS))
    columns = Columns(tuple(read.get(index) for index in range(len(names))), marked, unit, decimal_commas)
    problems += [] if problems else _unit_problems(columns)
    if problems:
        raise InputError(*problems)
    return columns


def job_tables(columns: Columns, cells: Sequence[str]) -> Data:
    """The tables of one row; empty cells are left out.

    Raises:
        InputError: If a cell stands under no heading, can mean two numbers, or is a length of no unit.
    """
    data: Data = {}
    filled = [
        (index, cell.strip()) for index, cell in enumerate(cells) if cell.strip() and index not in columns.ignored
    ]
    headings = columns.headings
    placed = [(headings[index] if index < len(headings) else None, cell) for index, cell in filled]
    stray = [cell for heading, cell in placed if heading is None]
    if stray:
        raise InputError.of(ListProblem.CELL_UNDER_NO_COLUMN, cell=stray[0])
    ours = [(heading, cell) for heading, cell in placed if heading]
    problems = [problem for heading, cell in ours if (problem := _call_out(heading, cell))]
    if problems:
        raise InputError(*problems)
    for heading, cell in sorted(ours, key=lambda pair: len(pair[0].paths) == 1):
        for path in heading.paths:
            _put(data, path, _read(_plain(cell, heading, columns.decimal_commas), heading))
    return _with_unit(data, columns, [heading for heading, cell in ours if names_no_unit(cell)])


def _unknown(name: str) -> Problem:
    near = near_heading(name)
    unknown = ListProblem.UNKNOWN_COLUMN_NEAR if near else ListProblem.UNKNOWN_COLUMN
    return Problem(name.strip(), unknown, near=near)


def _twice(headings: Sequence[Heading]) -> Iterator[Problem]:
    met: dict[object, Heading] = {}
    for heading in headings:
        other = met.setdefault(heading.paths, heading)
        if other is not heading:
            yield Problem(heading.written.strip(), ListProblem.SAME_KEY, other=other.written.strip())


def _unit_problems(columns: Columns) -> list[Problem]:
    """Whether the list leaves open what its lengths are in."""
    headings = [heading for heading in columns.headings if heading]
    said = {heading.unit for heading in headings if heading.shape is Shape.LENGTH}
    if columns.unit or any(heading.paths == (_UNITS,) for heading in headings) or (len(said) == 1 and None not in said):
        return []
    if len(said - {None}) > 1:
        return [Problem("units", ListProblem.UNITS_DIFFER)]
    return [Problem("units", ListProblem.UNITS_NOWHERE)]


def _with_unit(data: Data, columns: Columns, bare: Sequence[Heading]) -> Data:
    """The tables with the unit of the row: its own, else the one asked for, else that of the headings."""
    if "units" not in data:
        said = {heading.unit for heading in columns.headings if heading and heading.shape is Shape.LENGTH}
        unit = columns.unit or (said.pop() if len(said) == 1 else None)
        if unit is None:
            empty = ListProblem.UNITS_EMPTY_OF_COLUMN if bare else ListProblem.UNITS_EMPTY
            raise InputError.of(empty, "units", column=bare[0].written.strip() if bare else "")
        data["units"] = unit.value
    return data


def _plain(cell: str, heading: Heading, decimal_commas: bool) -> str:
    """A cell with a decimal point and, where its heading has a unit and it has none, with that.

    Raises:
        InputError: If it can be thousands as well as thousandths.
    """
    text = cell
    if heading.shape in _NUMBERS and decimal_commas:
        if _THOUSANDS_OR_PART.fullmatch(text):
            thousands, parts = text.replace(".", ""), text.replace(".", ",")
            two = ListProblem.TWO_MEANINGS
            raise InputError.of(two, heading.written.strip(), written=text, thousands=thousands, parts=parts)
        text = ";".join(_pointed(part) for part in text.split(";"))
    return f"{text} {heading.unit.value}" if heading.unit and names_no_unit(text) else text


def _pointed(text: str) -> str:
    match = _DECIMAL_COMMA.fullmatch(text.strip())
    return f"{match['whole'].replace('.', '') or '0'}.{match['part']}{match['unit']}" if match else text


def _call_out(heading: Heading, cell: str) -> Problem | None:
    """What is wrong with a cell of holes as a drawing calls them out: ``8 x 22``, ``8 x M16``, a hole of ``M16``."""
    key, where = heading.paths[0][-1], heading.written.strip()
    both = _COUNT_AND_SIZE.fullmatch(cell) if key == "hole_count" else None
    size = both[2] if both else cell if key == "hole_diameter" else ""
    is_thread = bool(_THREAD.fullmatch(size))
    if both:
        kind = ListProblem.COUNT_WITH_THREAD if is_thread else ListProblem.COUNT_WITH_SIZE
        return Problem(where, kind, written=cell, count=both[1], size=size)
    return Problem(where, ListProblem.THREAD_AS_SIZE, written=cell) if is_thread else None


def _put(data: Data, path: Sequence[str | int], value: object) -> None:
    """Put a value in its place; tables and rows on the way are made."""
    place: Any = data
    for step, following in zip(path, (*path[1:], None), strict=True):
        empty: Any = [] if isinstance(following, int) else {}
        if isinstance(step, int):
            place.extend({} for _ in range(len(place), step + 1))
            place = place[step]
        elif following is None:
            place[step] = value
        else:
            place = place.setdefault(step, empty)


def _read(text: str, heading: Heading) -> object:
    """A cell as its key takes it: a text, a whole number, yes or no, a list parted by semicolons, rows of it by /."""
    match heading.shape:
        case Shape.TEXTS:
            return [part.strip() for part in text.split(";") if part.strip()]
        case Shape.NUMBERS:
            return _numbers(text)
        case Shape.ROWS:
            return [_numbers(part) for part in text.split("/") if part.strip()]
        case Shape.NUMBER:
            return _number(text)
        case Shape.FLAG:
            return {"true": True, "yes": True, "false": False, "no": False}.get(text.lower(), text)
        case Shape.TEXT | Shape.LENGTH | Shape.ANGLE:
            return text


def _numbers(text: str) -> list[object]:
    return [_number(part.strip()) for part in text.split(";") if part.strip()]


def _number(text: str) -> object:
    """A number as a job file has it, whole where it is whole; what is none is left for the check of the job to say."""
    if _WHOLE.fullmatch(text):
        return int(text)
    try:
        value = float(text)
    except ValueError:
        return text
    return int(value) if value.is_integer() and _PLAIN.fullmatch(text) else value
