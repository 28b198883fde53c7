"""The rows that share most with what was asked, where none answers to all of it."""

import math
import re
from functools import cache

from flangelayout.provenance import Family
from flangelayout.standards.designations.index import RowIndex
from flangelayout.standards.designations.wording import Term
from flangelayout.standards.pattern import Pattern

_SUGGESTIONS = 3
_LEADING_WORDS = re.compile(r"(x(?:in)?:\d+x|\D+)(\d+(?:\.\d+)?)")
# How far apart two rows are counted where no ratio of numbers says it.
_OTHER_STANDARD = 0.5
_NOTHING_LIKE_IT = 2.0


def nearest_rows(asked: tuple[Term, ...], index: RowIndex) -> tuple[Pattern, ...]:
    """Up to three rows, the nearest first.

    Where a standard or a family is named, only its rows; then those that answer to most of the terms, then
    those whose numbers are nearest in ratio.
    """
    rows = _in_family(asked, index)
    scored = [(sum(not keys.isdisjoint(term.keys) for term in asked), pattern, keys) for pattern, keys in rows]
    best = max((score for score, _, _ in scored), default=0)
    if not best:
        scored = [each for each in scored if _comparable(each[2], asked)]
    ranked = sorted(
        (_distance(keys, asked), pattern.standard not in index.defaults, place, pattern)
        for place, (score, pattern, keys) in enumerate(scored)
        if score == best
    )
    farthest = math.inf if best else _NOTHING_LIKE_IT * len(asked)
    return tuple(pattern for distance, _, _, pattern in ranked[:_SUGGESTIONS] if distance < farthest)


def _in_family(asked: tuple[Term, ...], index: RowIndex) -> list[tuple[Pattern, frozenset[str]]]:
    """The rows of the named standards, else of the family that a word names, else all."""
    named = [term.keys for term in asked if any(key.startswith("std:") for key in term.keys)]
    rows = [pair for pair in index.rows if all(not pair[1].isdisjoint(keys) for keys in named)]
    words = {key.removeprefix("w:") for term in asked for key in term.keys if key.startswith("w:")}
    families = {family for family in Family if not words.isdisjoint(family.value.split())}
    return [pair for pair in rows or index.rows if named or not families or pair[0].family in families]


def _comparable(keys: frozenset[str], asked: tuple[Term, ...]) -> bool:
    """Whether a row has a number of any kind that is asked for."""
    numbers = _numbers(keys)
    return any(_taken_apart(key)[0] in numbers for term in asked for key in term.keys)


def _distance(keys: frozenset[str], asked: tuple[Term, ...]) -> float:
    """How far a row is from the terms it does not answer: ratio of the numbers, else a fixed step."""
    return sum(_term_distance(keys, term) for term in asked if keys.isdisjoint(term.keys))


def _term_distance(keys: frozenset[str], term: Term) -> float:
    return min(_key_distance(keys, key) for key in term.keys)


def _key_distance(keys: frozenset[str], key: str) -> float:
    """How far the nearest key of the same kind is: ``dn:160`` from ``dn:150``, ``w:ff210`` from ``w:ff215``."""
    if key.startswith("std:"):
        return _OTHER_STANDARD
    kind, number = _taken_apart(key)
    others = _numbers(keys).get(kind, ()) if number else ()
    return min((abs(math.log(number / other)) for other in others), default=_NOTHING_LIKE_IT)


@cache
def _numbers(keys: frozenset[str]) -> dict[str, tuple[float, ...]]:
    """The numbers of a row's keys by their kind."""
    found: dict[str, tuple[float, ...]] = {}
    for kind, number in map(_taken_apart, keys):
        if number:
            found[kind] = (*found.get(kind, ()), number)
    return found


@cache
def _taken_apart(key: str) -> tuple[str, float]:
    """``dn:`` and 150 of ``dn:150``, ``x:5x`` and 114.3 of ``x:5x114.3``; 0 where a key ends in no number."""
    match = _LEADING_WORDS.fullmatch(key)
    return (match[1], float(match[2])) if match else (key, 0.0)
