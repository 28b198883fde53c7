"""Designations of a list that fit rows of several standards: which standard is meant is said once for all rows."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from flangelayout.errors import FlangeLayoutError, InputError
from flangelayout.problems.lists import ListProblem
from flangelayout.units import Unit

if TYPE_CHECKING:
    from flangelayout.standards import Pattern, PublishedTable

Tables = Mapping[str, Any]
_NAMES_A_ROW = "standard"


class ListReading(Struct, frozen=True):
    """How lists are read where they do not say it themselves.

    Attributes:
        unit: Of their lengths.
        standards: Those that are meant where a designation fits several, the first that decides wins.
    """

    unit: Unit | None = None
    standards: tuple[str, ...] = ()


def known_standards(names: Sequence[str], where: str) -> tuple[str, ...]:
    """The names, each of which begins the designation of a published row.

    Raises:
        InputError: With every name that begins none.
    """
    from flangelayout.standards import all_patterns

    unknown = [name for name in names if not any(_begins(name, row) for row in all_patterns())]
    if unknown:
        known = tuple(sorted({row.standard for row in all_patterns()}))
        raise InputError.of(ListProblem.NO_SUCH_STANDARD, where, name=unknown[0], known=known)
    return tuple(names)


def with_meant(tables: Tables, standards: Sequence[str], own: "tuple[PublishedTable, ...]") -> dict[str, Any]:
    """The tables of a row, its doubtful designations replaced by those of the standards that are meant.

    Args:
        tables: Of a row.
        standards: Their names; with none, the tables come back as they are.
        own: A shop's own patterns, which may be meant by their names.
    """
    if not standards:
        return dict(tables)
    return {key: _meant(key, value, standards, own) for key, value in tables.items()}


def standards_to_choose(rows: Iterable[Tables], own: "tuple[PublishedTable, ...]") -> tuple[frozenset[str], ...]:
    """The standards that may be meant by each designation of some rows that fits several."""
    written = dict.fromkeys(text for row in rows for text in _designations(row))
    choices = (frozenset(row.standard for row in _rows_asked(text, own)) for text in written)
    return tuple(each for each in choices if len(each) > 1)


def _meant(key: str, value: object, standards: Sequence[str], own: "tuple[PublishedTable, ...]") -> object:
    if isinstance(value, dict):
        return {name: _meant(name, each, standards, own) for name, each in value.items()}
    if isinstance(value, list):
        return [_meant(key, each, standards, own) for each in value]
    return _decided(value, standards, own) if key == _NAMES_A_ROW and isinstance(value, str) else value


def _decided(written: str, standards: Sequence[str], own: "tuple[PublishedTable, ...]") -> str:
    """The designation of the one row of a standard that is meant; as written where none or several are."""
    rows = _rows_asked(written, own)
    for standard in standards:
        meant = [row for row in rows if _begins(standard, row)]
        if len(meant) == 1:
            return meant[0].designation
    return written


def _rows_asked(written: str, own: "tuple[PublishedTable, ...]") -> "tuple[Pattern, ...]":
    """The rows of a designation that fits several; none where it means one, is none or is doubtful in itself."""
    from flangelayout.standards.designations.answers import Asked, Why
    from flangelayout.standards.designations.lookup import look_up

    try:
        answer = look_up(written, own=own)
    except FlangeLayoutError:
        return ()
    return answer.rows if isinstance(answer, Asked) and answer.why is Why.SEVERAL_ROWS else ()


def _designations(value: object, key: str = "") -> Iterator[str]:
    if isinstance(value, Mapping):
        for name, each in value.items():
            yield from _designations(each, name)
    elif isinstance(value, list):
        for each in value:
            yield from _designations(each, key)
    elif key == _NAMES_A_ROW and isinstance(value, str):
        yield value


def _begins(standard: str, row: "Pattern") -> bool:
    """Whether the name of a standard, or of a part of it such as a table, begins a row's designation."""
    words, called = standard.casefold().split(), row.designation.casefold().split()
    return bool(words) and called[: len(words)] == words
