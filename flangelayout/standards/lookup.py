"""Finds rows by what people write: designations, loose words, hole count, circle, family."""

import math
import re
from dataclasses import dataclass
from functools import cache

from flangelayout.errors import InputError, Problem
from flangelayout.provenance import Family
from flangelayout.standards.pattern import Pattern
from flangelayout.standards.tables import Table, all_patterns, all_tables
from flangelayout.standards.wording import Term, plain, published_keys, terms
from flangelayout.units import Unit, from_mm, to_mm

_LONGEST_TEXT = 120
_CHOICES_SHOWN = 6
_SUGGESTIONS = 3
_SHORTEST_BEGINNING = 3
_LEADING_WORDS = re.compile(r"(\D+)(\d+(?:\.\d+)?)")
# How far apart two rows are counted where no ratio of numbers says it.
_OTHER_STANDARD = 0.5
_NOTHING_LIKE_IT = 2.0
# Nominal sizes where DN is not 25 x NPS (ASME B36.10M and ISO 6708).
_SMALL_NPS = {0.375: 10, 0.5: 15, 0.75: 20, 1.0: 25, 1.25: 32, 1.5: 40, 2.0: 50, 2.5: 65, 3.0: 80, 3.5: 90}
_SMALLEST_PLAIN_NPS = 4
_DN_PER_NPS = 25
_NEAR_QUARTER_INCH = 0.1  # mm


@dataclass(frozen=True, slots=True)
class _Index:
    """Everything a look-up needs, built once.

    Attributes:
        rows: Every row with the keys it answers to.
        words: Every word key, for words cut short.
        names: One expression that finds the name of a standard.
        standards: Keys of the standards that a name may mean.
        defaults: Standards the trade means when it names none.
    """

    rows: tuple[tuple[Pattern, frozenset[str]], ...]
    words: tuple[str, ...]
    names: re.Pattern[str]
    standards: dict[str, frozenset[str]]
    defaults: frozenset[str]


def find(text: str, where: str = "standard") -> Pattern:
    """The one row a designation means, as people write it.

    A text that names no standard means the trade's own: ``PN n`` is EN 1092-1 and ``class n`` up to
    NPS 24 is ASME B16.5 (common practice, no source).

    Args:
        text: Such as ``"EN 1092-1 PN16 DN150"``, ``'6" class 150'`` or ``"5x114.3"``.
        where: Job key or option to name in an error.

    Raises:
        InputError: If no row fits (with the nearest ones) or several do (with the choices).

    Example:
        >>> find("dn150 pn16").designation
        'EN 1092-1 PN16 DN150'
    """
    written = _checked(text, where)
    shown = " ".join(text.split())
    exact = _by_designation().get(_spelling(written))
    if exact is not None:
        return exact
    index = _index()
    asked = _terms(written)
    hits = _hits(asked)
    if not hits:
        raise InputError(Problem(where, f'"{shown}" is in no table; {_nearest(written, asked)}'))
    if len(hits) > 1 and not index.names.search(written):
        usual = tuple(pattern for pattern in hits if pattern.standard in index.defaults)
        hits = usual if len(usual) == 1 else hits
    if len(hits) > 1:
        raise InputError(Problem(where, f'"{shown}" fits {_listed(hits)}; write the one you mean'))
    return hits[0]


def matching(text: str) -> tuple[Pattern, ...]:
    """Every row that answers to all of what is written, in table order; none for an empty text."""
    asked = _terms(plain(text))
    return _hits(asked) if asked else ()


def search(
    text: str = "",
    hole_count: int | None = None,
    diameter_between: tuple[float, float] | None = None,
    family: str | None = None,
) -> tuple[Pattern, ...]:
    """Rows that pass every filter given, in table order.

    Args:
        text: Words all of which must fit, as for `matching`; empty lets every row pass.
        hole_count: Holes on the circle.
        diameter_between: Least and greatest bolt circle in mm, both included.
        family: Part of a family's name, such as ``"motor"``.
    """
    rows = matching(text) if text.strip() else all_patterns()
    low, high = diameter_between or (0.0, math.inf)
    wanted = (family or "").strip().lower()
    return tuple(
        pattern
        for pattern in rows
        if hole_count in (None, pattern.hole_count)
        and low <= pattern.bolt_circle <= high
        and wanted in pattern.family.value
    )


def _checked(text: str, where: str) -> str:
    written = plain(text)
    if not written or len(written) > _LONGEST_TEXT:
        seen = "is empty" if not written else f"is {len(written)} characters long"
        raise InputError(Problem(where, f'the designation {seen}; write for example "EN 1092-1 PN16 DN150"'))
    return written


def _terms(written: str) -> tuple[Term, ...]:
    """What a plain text asks for; names of standards are taken out before numbers are read."""
    index = _index()
    named = tuple(Term(match[0], index.standards[_name_spelling(match[0])]) for match in index.names.finditer(written))
    rest = index.names.sub(" ; ", written)
    return named + tuple(_with_beginnings(term, index.words) for term in terms(rest))


def _with_beginnings(term: Term, words: tuple[str, ...]) -> Term:
    """A word cut short stands for every word it begins."""
    (key, *others) = term.keys
    if others or key in words or not key.startswith("w:") or len(key) < len("w:") + _SHORTEST_BEGINNING:
        return term
    return Term(term.written, frozenset({key, *(word for word in words if word.startswith(key))}))


def _hits(asked: tuple[Term, ...]) -> tuple[Pattern, ...]:
    wanted = [term.keys for term in asked]
    if not wanted:
        return ()
    return tuple(pattern for pattern, keys in _index().rows if not any(keys.isdisjoint(want) for want in wanted))


@cache
def _by_designation() -> dict[str, Pattern]:
    """Rows by their designation in plain spelling; enough for a text that is one."""
    return {_spelling(plain(pattern.designation)): pattern for pattern in all_patterns()}


@cache
def _index() -> _Index:
    rows = tuple((pattern, _row_keys(pattern, table)) for table in all_tables() for pattern in table.patterns)
    standards = _standard_names()
    return _Index(
        rows=rows,
        words=tuple(sorted({key for _, keys in rows for key in keys if key.startswith("w:")})),
        names=re.compile("|".join(_name_expression(name) for name in _longest_first(standards))),
        standards={_name_spelling(name): keys for name, keys in standards.items()},
        defaults=frozenset(table.standard for table in all_tables() if table.trade_default),
    )


def _row_keys(pattern: Pattern, table: Table) -> frozenset[str]:
    keys = published_keys(pattern.grade, pattern.size) | _standard_keys(pattern.standard, table.family.value)
    keys |= {f"holes:{pattern.hole_count}"}
    if table.family is Family.PIPE_FLANGE:
        return keys | _other_nominal(keys)
    return keys | _in_inches(pattern) if any(key.startswith("x:") for key in keys) else keys


def _in_inches(pattern: Pattern) -> frozenset[str]:
    """``5x4.5`` for 5x114.3; a circle within a tenth of a mm of quarter inches (120.7 mm) is written so too."""
    quarters = round(from_mm(pattern.bolt_circle, Unit.IN) * 4) / 4
    near = abs(pattern.bolt_circle - to_mm(quarters, Unit.IN)) < _NEAR_QUARTER_INCH
    return frozenset({f"xin:{pattern.hole_count}x{quarters:g}"}) if near else frozenset()


@cache
def _standard_keys(standard: str, family: str) -> frozenset[str]:
    words = re.findall(r"[a-z]+[\d.]*|\d[\d.-]*", plain(f"{standard} {family}"))
    return frozenset({f"std:{standard}", *(f"w:{word}" for word in words)})


def _other_nominal(keys: frozenset[str]) -> frozenset[str]:
    """The DN of an NPS and the NPS of a DN (or of a JIS A size): the pipe is the same."""
    out = set()
    for key in keys:
        kind, _, value = key.partition(":")
        if kind == "nps":
            out.add(f"dn:{_dn_of(float(value)):g}")
        elif kind in ("dn", "a"):
            out |= {f"dn:{value}", f"nps:{_nps_of(float(value)):g}"}
    return frozenset(out)


def _dn_of(nps: float) -> float:
    return _SMALL_NPS.get(nps, nps * _DN_PER_NPS)


def _nps_of(dn: float) -> float:
    if dn >= _SMALLEST_PLAIN_NPS * _DN_PER_NPS:
        return dn / _DN_PER_NPS
    return next((nps for nps, small in _SMALL_NPS.items() if small == dn), math.nan)


def _standard_names() -> dict[str, frozenset[str]]:
    """Every name people use, with the keys of the standards it may mean."""
    names: dict[str, set[str]] = {}
    for table in all_tables():
        for name in (table.standard.lower(), *table.spoken):
            names.setdefault(name, set()).add(f"std:{table.standard}")
    return {name: frozenset(keys) for name, keys in names.items()}


def _longest_first(names: dict[str, frozenset[str]]) -> list[str]:
    return sorted(names, key=lambda name: (-len(name), name))


def _name_expression(name: str) -> str:
    """A name with or without its spaces and dashes, not inside a longer word or number."""
    before = r"(?<![\d.])" if name[0].isdigit() else r"(?<![a-z.])"
    after = r"(?!\d)" if name[-1].isdigit() else r"(?![a-z])"
    return before + re.escape(name).replace(r"\ ", r"[\s-]*").replace(r"\-", r"[\s-]*") + after


def _name_spelling(name: str) -> str:
    return re.sub(r"[\s-]+", "", name)


def _spelling(written: str) -> str:
    return re.sub(r"[\s,-]+", " ", written)


def _listed(hits: tuple[Pattern, ...]) -> str:
    """Choices in one line, the trade's own standards first."""
    usual = sorted(hits, key=lambda pattern: pattern.standard not in _index().defaults)
    shown = [pattern.designation for pattern in usual[:_CHOICES_SHOWN]]
    rest = len(hits) - len(shown)
    return " or ".join(shown) if not rest else f"{', '.join(shown)} and {rest} more"


def _nearest(written: str, asked: tuple[Term, ...]) -> str:
    """Words that suggest the nearest rows: those that answer to most, then the nearest numbers."""
    near = _nearest_by_terms(asked) or _nearest_by_letters(written)
    if not near:
        return "list what there is with: flangelayout standards"
    return f"the nearest {'is' if len(near) == 1 else 'are'} {', '.join(near)}"


def _nearest_by_terms(asked: tuple[Term, ...]) -> tuple[str, ...]:
    scored = [(sum(not keys.isdisjoint(term.keys) for term in asked), pattern, keys) for pattern, keys in _index().rows]
    best = max(score for score, _, _ in scored)
    ranked = sorted(
        (_distance(keys, asked), place, pattern.designation)
        for place, (score, pattern, keys) in enumerate(scored)
        if score == best
    )
    farthest = math.inf if best else _NOTHING_LIKE_IT * len(asked)
    return tuple(designation for distance, _, designation in ranked[:_SUGGESTIONS] if distance < farthest)


def _distance(keys: frozenset[str], asked: tuple[Term, ...]) -> float:
    """How far a row is from the terms it does not answer: ratio of the numbers, else a fixed step."""
    return sum(_term_distance(keys, term) for term in asked if keys.isdisjoint(term.keys))


def _term_distance(keys: frozenset[str], term: Term) -> float:
    return min(_key_distance(keys, key) for key in term.keys)


def _key_distance(keys: frozenset[str], key: str) -> float:
    """How far the nearest key of the same kind is: ``dn:160`` from ``dn:150``, ``w:ff210`` from ``w:ff215``."""
    if key.startswith("std:"):
        return _OTHER_STANDARD
    match = _LEADING_WORDS.fullmatch(key)
    if match is None or float(match[2]) == 0:
        return _NOTHING_LIKE_IT
    others = (_LEADING_WORDS.fullmatch(other) for other in keys)
    numbers = [float(other[2]) for other in others if other and other[1] == match[1]]
    ratios = (abs(math.log(float(match[2]) / number)) for number in numbers if number)
    return min(ratios, default=_NOTHING_LIKE_IT)


def _nearest_by_letters(written: str) -> tuple[str, ...]:
    from difflib import get_close_matches

    exact = _by_designation()
    return tuple(exact[name].designation for name in get_close_matches(_spelling(written), exact, n=_SUGGESTIONS))
