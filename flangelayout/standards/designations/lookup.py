"""Finds rows by what people write: designations, loose words, hole count, circle, family."""

import math
import re
from collections.abc import Iterator
from functools import cache, lru_cache

from flangelayout.errors import InputError, Problem
from flangelayout.problems.standards import StandardsProblem
from flangelayout.provenance import Family
from flangelayout.standards.designations.answers import Answer, Asked, Found, Missed, Why
from flangelayout.standards.designations.index import RowIndex, index_of, row_index
from flangelayout.standards.designations.names import GradeAlias, grade_aliases
from flangelayout.standards.designations.nearest import nearest_rows
from flangelayout.standards.designations.problem import raise_unless_found
from flangelayout.standards.designations.reading import DesignationReading, corrected, read, without_unknown
from flangelayout.standards.designations.sizes import names_a_circle, names_another_circle, rows_of_sizes
from flangelayout.standards.pattern import Pattern
from flangelayout.standards.tables import PublishedTable, all_patterns, all_tables
from flangelayout.standards.typography import plain

_LONGEST_TEXT = 120
_FEW = 6
_SIZES = frozenset({"size", "grade", "nps", "dn", "mm"})
_CLASSES = frozenset({"std", "pn", "class", "table", "k"})
"""A hole count beside nothing but a size, or nothing but a class, is asked about, however few rows fit."""
_BY_COUNT_AND_CIRCLE = (Family.WHEEL_HUB, Family.CHAINRING)
"""Kinds of part that the trade calls by hole count and circle."""


def find(text: str, where: str = "standard", own: tuple[PublishedTable, ...] = ()) -> Pattern:
    """The one row a designation means, as people write it.

    A text that names no standard means the trade's own: ``PN n`` is EN 1092-1 and ``class n`` up to
    NPS 24 is ASME B16.5 (common practice, no source).

    Args:
        text: Such as ``"EN 1092-1 PN16 DN150"``, ``'6" class 150'`` or ``"5x114.3"``.
        where: Job key or option to name in an error.
        own: A shop's own patterns, which stand beside the published ones.

    Raises:
        InputError: If no row fits (with the nearest ones) or several may be meant (with the choices).

    Example:
        >>> find("dn150 pn16").designation
        'EN 1092-1 PN16 DN150'
    """
    return raise_unless_found(look_up(text, where, own), where)


def look_up(text: str, where: str = "standard", own: tuple[PublishedTable, ...] = ()) -> Answer:
    """What a designation means, with everything that was read into it or out of it.

    Args:
        text: As for `find`.
        where: Job key or option to name in an error.
        own: A shop's own patterns; one that is called by its name is meant.

    Raises:
        InputError: If the text is empty or endless.
    """
    written = plain(text)
    if not written:
        raise InputError(Problem(where, StandardsProblem.EMPTY_DESIGNATION))
    if len(written) > _LONGEST_TEXT:
        raise InputError(Problem(where, StandardsProblem.ENDLESS_DESIGNATION, length=len(written)))
    exact = _by_name(own).get(_spelling(written)) or _by_designation().get(_spelling(written))
    if exact is not None:
        return Found(exact, DesignationReading(" ".join(text.split()), ()))
    index = _index(own)
    reading = read(text, index)
    if "holes" in reading.kinds() and names_a_circle(reading.written):
        return _by_sizes(reading, index)
    hits = _hits(reading, index)
    if hits:
        return _pair_or_sizes(hits, reading, index) or _answer(hits, reading, index)
    called = _called_by_words(written, own)
    return _answer(called, reading, index) if called else _second_thoughts(text, reading, index)


def matching(text: str, own: tuple[PublishedTable, ...] = ()) -> tuple[Pattern, ...]:
    """Every row that answers to all of what is written, in table order; none for an empty text."""
    index = _index(own)
    return _hits(read(text, index), index) if plain(text) else ()


def search(
    text: str = "",
    hole_count: int | None = None,
    diameter_between: tuple[float, float] | None = None,
    family: str | None = None,
    own: tuple[PublishedTable, ...] = (),
) -> tuple[Pattern, ...]:
    """Rows that pass every filter given, in table order.

    Args:
        text: Words all of which must fit, as for `matching`; empty lets every row pass.
        hole_count: Holes on the circle.
        diameter_between: Least and greatest bolt circle in mm, both included.
        family: Part of a family's name, such as ``"motor"``.
        own: A shop's own patterns, which come last.
    """
    rows = matching(text, own) if text.strip() else (*all_patterns(), *(row for table in own for row in table.patterns))
    low, high = diameter_between or (0.0, math.inf)
    wanted = (family or "").strip().lower()
    return tuple(
        pattern
        for pattern in rows
        if hole_count in (None, pattern.hole_count)
        and low <= pattern.bolt_circle <= high
        and wanted in pattern.family.value
    )


def _pair_or_sizes(hits: tuple[Pattern, ...], reading: DesignationReading, index: RowIndex) -> Asked | None:
    """``8x250``: size and class, unless rows have so many holes on such a circle."""
    if len(hits) > 1 or len(reading.terms) > 1 or "pair" not in reading.kinds():
        return None
    sizes = rows_of_sizes(reading, index)
    return Asked(hits + sizes, Why.WHEEL_OR_PIPE, reading) if sizes and hits[0] not in sizes else None


def _second_thoughts(text: str, reading: DesignationReading, index: RowIndex) -> Answer:
    """What a text means that no row answers to as it stands: a slip of the pen, sizes, or nothing."""
    for other in corrected(text, index):
        hits = _hits(other, index)
        if hits:
            return _answer(hits, other, index)
    plainer = without_unknown(reading, index)
    answer = _answer(_hits(plainer, index), plainer, index) if plainer else None
    if isinstance(answer, Found) or (isinstance(answer, Asked) and 0 < len(answer.rows) <= _FEW):
        return answer
    return _by_sizes(reading, index)


def _by_sizes(reading: DesignationReading, index: RowIndex) -> Answer:
    sizes = rows_of_sizes(reading, index)
    if sizes:
        return Asked(_usual_first(sizes, index), Why.BY_SIZES, reading)
    return Missed(nearest_rows(reading.terms, index), tuple(_unknown(reading, index)), reading)


def _hits(reading: DesignationReading, index: RowIndex) -> tuple[Pattern, ...]:
    wanted = [term.keys for term in reading.terms]
    if not wanted:
        return ()
    return tuple(pattern for pattern, keys in index.rows if not any(keys.isdisjoint(want) for want in wanted))


def _answer(hits: tuple[Pattern, ...], reading: DesignationReading, index: RowIndex) -> Answer:
    """The row that is meant, where that is certain; else the choices."""
    why = Why.SEVERAL_ROWS
    if len(hits) > 1:
        hits, why = _narrowed(hits, reading, index)
    grades = tuple(_grades_read(hits, reading))
    doubtful = any(alias.doubtful for alias in reading.aliases) or any(grade.doubtful for grade in grades)
    if len(hits) == 1 and not doubtful:
        beside = reading.kinds() - {"holes"}
        counted = hits[0].family in _BY_COUNT_AND_CIRCLE
        if beside != reading.kinds() and not counted and (beside <= _SIZES or beside <= _CLASSES):
            why = Why.BY_SIZES
        elif counted or not names_another_circle(reading.written, hits[0]):
            return Found(hits[0], reading, grades)
    return Asked(_usual_first(hits, index), Why.DOUBTFUL_NAME if doubtful else why, reading, grades)


def _narrowed(
    hits: tuple[Pattern, ...], reading: DesignationReading, index: RowIndex
) -> tuple[tuple[Pattern, ...], Why]:
    """Of several rows those of the standard that is named or usual; two readings of one pair of numbers both stay."""
    if {"pair", "dnpn"} & reading.kinds() and _two_kinds(hits):
        return hits, Why.WHEEL_OR_PIPE
    own = tuple(row for row in hits if row.standard in reading.own)
    if own and len({row.standard for row in hits}) > 1:
        return own, Why.SEVERAL_ROWS
    if reading.names_a_standard:
        return hits, Why.OLDER_ISSUE if any(row.standard in index.older for row in hits) else Why.SEVERAL_ROWS
    usual = tuple(row for row in hits if row.standard in index.defaults)
    older = tuple(row for row in hits if index.older.get(row.standard) in index.defaults)
    if _named_by_its_grade(hits, usual, reading):
        return hits, Why.SEVERAL_ROWS
    return usual + older or hits, Why.OLDER_ISSUE if usual and older else Why.SEVERAL_ROWS


def _two_kinds(hits: tuple[Pattern, ...]) -> bool:
    """Whether a road wheel, a chainring or the like stands among other rows."""
    return len({row.family in _BY_COUNT_AND_CIRCLE for row in hits}) > 1


def _named_by_its_grade(hits: tuple[Pattern, ...], usual: tuple[Pattern, ...], reading: DesignationReading) -> bool:
    """Whether another row carries the very class and the kind of size written, the usual one only by another name."""
    if not any(_grades_read(usual, reading)):
        return False
    return "dn" in reading.kinds() and any(row.size.startswith("DN") for row in hits if row not in usual)


def _grades_read(hits: tuple[Pattern, ...], reading: DesignationReading) -> Iterator[GradeAlias]:
    """The classes that were asked by a name which the tables of the hits do not use."""
    asked = {key for term in reading.terms for key in term.keys}
    for alias in grade_aliases():
        if alias.key in asked and any(row.standard in alias.standards for row in hits):
            yield alias


def _unknown(reading: DesignationReading, index: RowIndex) -> Iterator[str]:
    for term in reading.terms:
        if all(key.startswith("w:") for key in term.keys) and index.words.isdisjoint(term.keys):
            yield term.written


def _usual_first(hits: tuple[Pattern, ...], index: RowIndex) -> tuple[Pattern, ...]:
    return tuple(sorted(hits, key=lambda row: row.standard not in index.defaults))


@lru_cache(maxsize=4)
def _index(own: tuple[PublishedTable, ...]) -> RowIndex:
    """The index of the published tables and a shop's own."""
    return index_of((*all_tables(), *own)) if own else row_index()


def _called_by_words(written: str, own: tuple[PublishedTable, ...]) -> tuple[Pattern, ...]:
    """A shop's own patterns whose names hold every word written, whatever these words mean elsewhere."""
    words = set(_spelling(written).split())
    rows = (row for table in own for row in table.patterns)
    return tuple(row for row in rows if words <= set(_spelling(plain(row.designation)).split()))


def _by_name(own: tuple[PublishedTable, ...]) -> dict[str, Pattern]:
    return {_spelling(plain(row.designation)): row for table in own for row in table.patterns}


@cache
def _by_designation() -> dict[str, Pattern]:
    """Rows by their designation in plain spelling; enough for a text that is one."""
    return {_spelling(plain(pattern.designation)): pattern for pattern in all_patterns()}


def _spelling(written: str) -> str:
    return re.sub(r"[\s,-]+", " ", written)
