"""Every row with the keys it answers to; built once, when the first designation is looked up."""

import math
import re
from collections.abc import Iterator
from functools import cache

from msgspec import Struct

from flangelayout.provenance import Family
from flangelayout.standards.designations.names import grade_aliases
from flangelayout.standards.designations.wording import published_keys
from flangelayout.standards.pattern import Pattern
from flangelayout.standards.tables import PublishedTable, all_tables
from flangelayout.standards.typography import plain
from flangelayout.units import Unit, from_mm, to_mm

# Nominal sizes where DN is not 25 x NPS (ASME B36.10M and ISO 6708).
_SMALL_NPS = {0.375: 10, 0.5: 15, 0.75: 20, 1.0: 25, 1.25: 32, 1.5: 40, 2.0: 50, 2.5: 65, 3.0: 80, 3.5: 90}
_SMALLEST_PLAIN_NPS = 4
_DN_PER_NPS = 25
_NEAR_QUARTER_INCH = 0.1  # mm
_WORD = re.compile(r"[a-z]+[\d.]*|\d[\d.-]*")


class RowIndex(Struct, frozen=True):
    """Everything a look-up needs of the tables.

    Attributes:
        rows: Every row with the keys it answers to.
        words: Every word key, for words cut short.
        defaults: Standards the trade means when it names none.
        older: Standards that are an older issue of another, with that one.
    """

    rows: tuple[tuple[Pattern, frozenset[str]], ...]
    words: frozenset[str]
    defaults: frozenset[str]
    older: dict[str, str]


def index_of(tables: tuple[PublishedTable, ...]) -> RowIndex:
    """The index of some tables."""
    rows = tuple((pattern, _row_keys(pattern)) for table in tables for pattern in table.patterns)
    return RowIndex(
        rows=rows,
        words=frozenset(key for _, keys in rows for key in keys if key.startswith("w:")),
        defaults=frozenset(table.standard for table in tables if table.trade_default),
        older={table.standard: table.older_issue_of for table in tables if table.older_issue_of},
    )


@cache
def row_index() -> RowIndex:
    """The index of the tables of the package."""
    return index_of(all_tables())


def _row_keys(pattern: Pattern) -> frozenset[str]:
    keys = published_keys(pattern.grade, pattern.size) | _standard_keys(pattern.standard, pattern.family)
    keys |= {f"holes:{pattern.hole_count}"} | (_in_mm(keys) if pattern.unit is Unit.MM else frozenset())
    keys |= {"w:no"} if "No. " in pattern.designation else frozenset()
    keys |= published_keys("", pattern.also) if pattern.also else frozenset()
    if pattern.family is Family.WELLHEAD_FLANGE:
        keys |= {key.replace("size:", "nps:") for key in keys if key.startswith("size:")}
    if pattern.family in (Family.PIPE_FLANGE, Family.HYGIENIC_FLANGE, Family.WELLHEAD_FLANGE):
        return keys | _other_nominal(keys) | frozenset(_pairs(keys)) | _other_grades(pattern)
    if pattern.family is Family.CHAINRING:
        keys |= {f"bcd:{pattern.bolt_circle:g}"}
    if any(key.startswith("x:") for key in keys):
        keys |= _in_inches(pattern)
    if pattern.family is Family.WHEEL_HUB:
        keys |= {f"lugs:{key.partition(':')[2]}" for key in keys if key.startswith(("x:", "xin:"))}
    return keys


def _other_grades(pattern: Pattern) -> frozenset[str]:
    """The classes that the row's class is called elsewhere."""
    own = published_keys(pattern.grade, "")
    return frozenset(
        alias.key for alias in grade_aliases() if pattern.standard in alias.standards and not own.isdisjoint(alias.keys)
    )


def _pairs(keys: frozenset[str]) -> Iterator[str]:
    """``pair:6x150`` of NPS 6 Class 150, ``dnpn:150/16`` of DN150 PN16: sizes and classes joined by a sign."""
    by_kind: dict[str, list[str]] = {}
    for key in keys:
        kind, _, value = key.partition(":")
        by_kind.setdefault(kind, []).append(value)
    for grade in by_kind.get("class", []):
        yield from (f"pair:{size}x{grade}" for size in by_kind.get("nps", []))
    for grade in by_kind.get("pn", []):
        yield from (f"dnpn:{size}/{grade}" for size in by_kind.get("dn", []))


def _in_mm(keys: frozenset[str]) -> frozenset[str]:
    """The numbers of a size that are not of inches."""
    sizes = (key.removeprefix("size:") for key in keys if key.startswith("size:"))
    return frozenset(f"mm:{size}" for size in sizes if f"nps:{size}" not in keys)


def _in_inches(pattern: Pattern) -> frozenset[str]:
    """``5x4.5`` for 5x114.3; a circle within a tenth of a mm of quarter inches (120.7 mm) is written so too."""
    quarters = round(from_mm(pattern.bolt_circle, Unit.IN) * 4) / 4
    near = abs(pattern.bolt_circle - to_mm(quarters, Unit.IN)) < _NEAR_QUARTER_INCH
    return frozenset({f"xin:{pattern.hole_count}x{quarters:g}"}) if near else frozenset()


@cache
def _standard_keys(standard: str, family: Family) -> frozenset[str]:
    words = _WORD.findall(plain(f"{standard} {family.value}"))
    return frozenset({f"std:{standard}", *(f"w:{word}" for word in words)})


def _other_nominal(keys: frozenset[str]) -> frozenset[str]:
    """The DN of an NPS and the NPS of a DN (or of a JIS A size): the pipe is the same; a JIS B size is the NPS."""
    out = set()
    for key in keys:
        kind, _, value = key.partition(":")
        if kind == "nps":
            out.add(f"dn:{_dn_of(float(value)):g}")
        elif kind in ("dn", "a"):
            out |= {f"dn:{value}", f"nps:{_nps_of(float(value)):g}"}
        if kind == "a":
            out.add(f"b:{_nps_of(float(value)):g}")
    return frozenset(out)


def _dn_of(nps: float) -> float:
    return _SMALL_NPS.get(nps, nps * _DN_PER_NPS)


def _nps_of(dn: float) -> float:
    if dn >= _SMALLEST_PLAIN_NPS * _DN_PER_NPS:
        return dn / _DN_PER_NPS
    return next((nps for nps, small in _SMALL_NPS.items() if small == dn), math.nan)
