"""Names by which a drilling is known: those of the tables themselves and those of the aliases."""

import re
from collections.abc import Mapping
from functools import cache

from msgspec import Struct

from flangelayout.provenance import Confidence
from flangelayout.standards.designations.wording import Term, published_keys
from flangelayout.standards.rows import shipped
from flangelayout.standards.tables import all_tables
from flangelayout.standards.typography import plain, with_decimals


class Alias(Struct, frozen=True):
    """A name that is not the table's own, and what it says.

    Attributes:
        name: As the trade writes it.
        standards: The tables that hold its drillings; none where no table does.
        doubtful: Whether that they are the same is not certain.
        note: In what the two differ, or what to look out for; may be empty.
        confidence: How well the equality is vouched for.
        keys: Keys any one of which a row must answer to beside the standard; empty where the name says no more.
    """

    name: str
    standards: tuple[str, ...]
    doubtful: bool
    note: str
    confidence: Confidence
    keys: frozenset[str]


class Named(Struct, frozen=True):
    """The names found in a text.

    Attributes:
        terms: What they ask for: their standards, and grades or sizes that a name says.
        own: Standards named by their very name.
        aliases: Names that are not the tables' own.
        rest: The text without them.
    """

    terms: tuple[Term, ...]
    own: frozenset[str]
    aliases: tuple[Alias, ...]
    rest: str


def names_in(text: str) -> Named:
    """The names in a plain text; they are taken out before numbers are read."""
    index = _index()
    found: list[Term] = []
    own: set[str] = set()
    aliases: list[Alias] = []
    for match in index.names.finditer(text):
        name = _spelling(match["name"])
        alias = index.aliases.get(name)
        standards = index.standards.get(name, frozenset()) | set(alias.standards if alias else ())
        keys = frozenset(f"std:{standard}" for standard in standards)
        found.append(Term(match["name"], keys or frozenset({f"none:{name}"})))
        if alias:
            aliases.append(alias)
            found += [Term(match["name"], alias.keys)] if alias.keys else []
        own |= {standard for standard in standards if _spelling(plain(standard)) == name}
    return Named(tuple(found), frozenset(own), tuple(aliases), " ".join(index.names.sub(" ; ", text).split()))


class GradeAlias(Struct, frozen=True):
    """A pressure class that a table lists under another name.

    Attributes:
        key: The key it is asked by, such as ``pn:20``.
        standards: The tables that list it otherwise.
        keys: The keys it has there, such as ``class:150``.
        doubtful: Whether that they are the same is not certain.
        note: In what the two differ.
        name: As the trade writes it.
        confidence: How well the equality is vouched for.
    """

    key: str
    standards: frozenset[str]
    keys: frozenset[str]
    doubtful: bool
    note: str
    name: str
    confidence: Confidence


@cache
def grade_aliases() -> tuple[GradeAlias, ...]:
    """Every pressure class that goes by another name."""
    return tuple(
        GradeAlias(
            key=next(key for key in published_keys(cells["written"], "") if key.startswith("pn:")),
            standards=frozenset(cells["standards"].split("; ")),
            keys=_grade_keys(cells["grades"]),
            doubtful=cells["doubtful"] == "yes",
            note=cells["note"],
            name=cells["written"],
            confidence=Confidence(cells["confidence"]),
        )
        for cells in (row.cells for row in shipped("names", "grades.csv").rows)
    )


@cache
def all_aliases() -> tuple[Alias, ...]:
    """Every name that is not a table's own."""
    return tuple(
        Alias(
            name=cells["alias"],
            standards=tuple(name for name in cells["standards"].split("; ") if name),
            doubtful=cells["doubtful"] == "yes",
            note=cells["note"],
            confidence=Confidence(cells["confidence"]),
            keys=_grade_keys(cells["grades"])
            | frozenset(f"w:{size.lower()}" for size in cells["sizes"].split("; ") if size),
        )
        for cells in (row.cells for row in shipped("names", "aliases.csv").rows)
    )


def _grade_keys(grades: str) -> frozenset[str]:
    """``pn:16`` of ``PN 16``; of several any one."""
    wanted = ("pn:", "class:", "table:", "k:")
    keys = (key for grade in grades.split("; ") if grade for key in published_keys(grade, ""))
    return frozenset(key for key in keys if key.startswith(wanted))


class _Index(Struct, frozen=True):
    names: re.Pattern[str]
    standards: Mapping[str, frozenset[str]]
    aliases: Mapping[str, Alias]


@cache
def _index() -> _Index:
    standards: dict[str, set[str]] = {}
    for table in all_tables():
        for name in (table.standard, *table.spoken):
            standards.setdefault(plain(name), set()).add(table.standard)
    aliases = {plain(alias.name): alias for alias in all_aliases()}
    every = sorted({*standards, *aliases}, key=lambda name: (-len(name), name))
    pattern = "|".join(_expression(name) for name in every)
    year = r"(?:\s*[:-]\s*(?:19[5-9]\d|20[0-4]\d)(?:-(?:0[1-9]|1[0-2]))?(?!\d))?"
    return _Index(
        re.compile(rf"(?P<name>{pattern}){year}"),
        {_spelling(name): frozenset(found) for name, found in standards.items()},
        {_spelling(name): alias for name, alias in aliases.items()},
    )


@cache
def known_numbers() -> frozenset[str]:
    """The numbers of standards with four digits and more, to tell a slip of the pen by: ``1092-1``."""
    names = (name for table in all_tables() for name in (plain(table.standard), *table.spoken))
    return frozenset(number for name in names for number in re.findall(r"\d{4,}(?:-\d)?", name))


def _expression(name: str) -> str:
    """A name with or without its spaces, dashes and dots, not inside a longer word or number."""
    before = r"(?<![\d.])" if name[0].isdigit() else r"(?<![a-z.])"
    after = r"(?!\d)(?!-\d(?!\d))" if name[-1].isdigit() else r"(?![a-z])"
    return before + "".join(map(_piece, f" {name}", name)) + after


def _piece(last: str, sign: str) -> str:
    if sign in " -":
        return r"[\s.-]*"
    parted = last.isalnum() and sign.isalnum() and last.isdigit() != sign.isdigit()
    return r"\.?" if sign == "." else (r"\s?" if parted else "") + re.escape(sign)


def _spelling(name: str) -> str:
    return re.sub(r"[\s.-]+", "", with_decimals(name))
