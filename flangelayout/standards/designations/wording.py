"""What people write for a size, a pressure class or a table, taken apart into comparable terms.

The same recognizers read a published ``PN 16`` / ``DN150`` and a spoken ``pn16, 150 mm nominal``,
so both sides of a look-up are compared as equal keys such as ``pn:16`` or ``dn:150``.
"""

import re
from collections.abc import Iterator
from functools import cache

from msgspec import Struct

from flangelayout.standards.typography import plain, with_decimals

_INCH_SIGN = r"(?:\"|''|-?inch(?:es)?(?![a-z])|-?in(?![a-z])\.?)"
_NUMBER = r"\d+(?:\.\d+)?|\.\d+"
_END_OF_PAIR = rf"(?![\d.])(?!\s*(?:#|lb|x))(?:\s*(?:mm\b|{_INCH_SIGN}))?"
_RECOGNIZERS: tuple[tuple[str, str], ...] = (
    ("dn", r"(?<![a-z])dn\s?(\d+)\s?x\s?\d+\.\d+"),
    ("pn", r"(?<![a-z])pn[\s.:=/-]*(\d+(?:\.\d+)?(?:/\d+)*)(?![\d.])(?:\s*bars?\b)?"),
    ("pn", r"(?<![\d.])(\d+(?:\.\d+)?)\s*bars?\b"),
    ("class", r"(?<![a-z])(?:class|cl\.?)[\s-]*(\d{2,4}|[a-f])\b"),
    ("class", r"#\s?(\d{2,4})\b|\b(\d{1,4})(?:\s*#|[\s-]?lbs?\b|[\s-]?pounds?\b)"),
    ("table", r"(?<![a-z])(?:table|tab\.?|tbl\.?|t/)\s*([a-z])\b"),
    ("k", r"(?<![\d.])(\d{1,2})\s*kg?(?![a-z])"),
    ("lugs", r"(?<![\d.])(\d{1,2}\s?-?(?:lugs?|studs?)\s*(?:on|x)?\s*\d+(?:\.\d+)?)\s*(?:mm)?\s*bcd\b"),
    ("bcd", r"(?<![\d.])(?:(\d+)/\d+|(\d+(?:\.\d+)?))\s*(?:mm)?\s*bcd\b|\bbcd\s*(\d+(?:\.\d+)?)(?:\s*mm\b)?"),
    ("lugs", rf"(?<![\d.])(\d{{1,2}}\s?-?(?:lugs?|studs?|on)\s*(?:on|x)?\s*\d+(?:\.\d+)?){_END_OF_PAIR}"),
    ("x", rf"(?<![\d.])(\d{{1,3}}(?:\.\d+)?\s*[x*]\s*\d+(?:\.\d+)?){_END_OF_PAIR}"),
    ("slash", r"(?<![\d./])(\d{1,4}(?:\.\d+)?/\d{1,3}(?:\.\d+)?)(?![\d/])"),
    ("holes", r"(?<![\d.])(\d{1,2})[\s-]*(?:holes?|bolts?|arms?|lugs?|studs?)\b"),
    ("dn", r"(?<![a-z])dn[\s.:=/-]*(\d+)"),
    ("nb", r"(?<![\d.])(\d+(?:\.\d+)?)\s*nb\b|\bnb\s*(\d+(?:\.\d+)?)"),
    ("dash", r"(?<![\d.-])(\d{1,2}(?:\.\d+)?-(?:\d{2,4}(?:\.\d+)?|\d\.\d+))(?![\d-])"),
    ("nps", rf"(?<![a-z])nps[\s-]*({_NUMBER})\s*{_INCH_SIGN}?|({_NUMBER})\s*(?:{_INCH_SIGN}|nps\b(?!\s*\d))"),
    ("b", r"(?<![\d.])(\d{1,2}(?:\.\d+)?)b(?![a-z\d])"),
    ("a", r"(?<![\d.])(\d{1,4})a(?![a-z\d])"),
    ("n", rf"(?<![a-z\d.])({_NUMBER})(?:\s*mm\b|(?![a-z\d]))"),
    ("w", r"([a-z]+[\d.]*|\d[\d.]*[a-z]+)"),
)
_SIZE_KINDS = ("nps", "dn", "a", "x", "xin", "lugs", "nb", "bcd")
_GRADE_KINDS = ("pn", "class", "table", "k")
LARGEST_IN_INCHES = 25
"""A circle below it is in inches where no unit is written, as in ``5x4.5``."""


class Term(Struct, frozen=True):
    """One thing a text asks for.

    Attributes:
        written: The words as written.
        keys: Keys any one of which answers it, such as ``{"pn:10", "pn:16"}`` for ``PN10/16``.
    """

    written: str
    keys: frozenset[str]


def terms(text: str) -> tuple[Term, ...]:
    """What a plain text with decimals asks for, in the order written.

    A bare number is a size where a grade is named (``class 150 6``), a grade where a size is named
    (``6 in 150``), and either where neither is.
    """
    found = [term for _, term in sorted(_scan(text), key=lambda item: item[0]) if term.keys]
    return tuple(found)


def placed(found: tuple[Term, ...]) -> tuple[Term, ...]:
    """The terms with their bare numbers as sizes or grades, by what else is named."""
    kinds = {key.partition(":")[0] for term in found for key in term.keys}
    if "table" in kinds:
        found = tuple(_by_inches(term) for term in found)
    places = ["size"] * kinds.isdisjoint(_SIZE_KINDS) + ["grade"] * kinds.isdisjoint(_GRADE_KINDS)
    return tuple(_placed(term, places or ["size", "grade"]) for term in found)


def _by_inches(term: Term) -> Term:
    """Beside a lettered table a bare number that is no DN is a size in inches."""
    (key, *_) = term.keys
    bare = key.startswith("n:") and not _is_dn(float(key.removeprefix("n:")))
    return Term(term.written, frozenset({f"nps:{key.removeprefix('n:')}"})) if bare else term


def published_keys(grade: str, size: str) -> frozenset[str]:
    """Keys a row answers to for its grade and size, with the bare numbers and words in them."""
    return _keys_of(grade, "grade") | _keys_of(size, "size")


@cache
def _keys_of(printed: str, place: str) -> frozenset[str]:
    keys: set[str] = set()
    for _, term in _scan(with_decimals(plain(printed))):
        keys |= {key for key in term.keys if not key.startswith("n:")}
        for part in re.findall(r"\d+(?:\.\d+)?", " ".join(key.partition(":")[2] for key in term.keys)):
            keys.add(f"{place}:{number(part)}")
        keys |= {f"w:{word}" for word in re.findall(r"[a-z]+", term.written)}
    return frozenset(keys)


def _placed(term: Term, places: list[str]) -> Term:
    """A bare number as a number in the grade, in the size or in either; other terms as they are.

    One in mm is a size, and of no row whose sizes are in inches.
    """
    (key, *_) = term.keys
    kind, _, value = key.partition(":")
    if kind != "n":
        return term
    if term.written.endswith("mm"):
        places = ["mm", "dn"]
    return Term(term.written, frozenset(f"{place}:{value}" for place in places))


def number(text: str) -> str:
    """A written number in one spelling: ``1.50`` is ``1.5``; ``00`` stays."""
    return text if text.startswith("00") else f"{float(text):g}"


def _scan(text: str) -> Iterator[tuple[int, Term]]:
    """Terms with their places; what one recognizer takes is blanked for the next."""
    for kind, pattern in _compiled():
        for match in pattern.finditer(text):
            value = next(group for group in match.groups() if group is not None)
            yield match.start(), Term(match[0].strip(), _keys(kind, value))
        text = pattern.sub(lambda match: " " * len(match[0]), text)


@cache
def _compiled() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple((kind, re.compile(pattern)) for kind, pattern in _RECOGNIZERS)


def _keys(kind: str, value: str) -> frozenset[str]:
    match kind:
        case "pn":
            return frozenset(f"pn:{number(part)}" for part in value.split("/"))
        case "x" | "dash" | "slash" | "lugs":
            return frozenset(_pairs(kind, *(float(part) for part in re.findall(r"\d+(?:\.\d+)?", value)[:2])))
        case "w" | "class" | "table" if not value[0].isdigit() or kind == "w":
            return frozenset({f"{kind}:{_without_idle_zeros(value.rstrip('.'))}"})
        case "nb":
            return frozenset({f"{'dn' if _is_dn(float(value)) else 'nps'}:{number(value)}"})
        case "b":
            return frozenset({f"b:{number(value)}", f"w:{value}b"})
        case _:
            return frozenset({f"{kind}:{number(value)}"})


def _is_dn(nominal: float) -> bool:
    """Whether a nominal bore is in mm: 32, or a multiple of 5 from 10; else in inches (common practice, no source)."""
    return nominal == 32 or (nominal >= 10 and nominal % 5 == 0)


def _pairs(kind: str, first: float, second: float) -> Iterator[str]:
    """Two numbers joined by a sign: holes and circle, size and class, or DN and PN.

    ``5x114.3`` may be written with either number first; a circle below 25 is in inches, as in ``5x4.5``. Lugs and
    studs are of a wheel.
    """
    holes, circle = sorted((first, second))
    if not holes.is_integer():
        holes, circle = circle, holes
    if kind == "lugs":
        yield f"lugs:{holes:g}x{circle:g}"
        return
    yield f"{'xin' if circle < LARGEST_IN_INCHES else 'x'}:{holes:g}x{circle:g}"
    if kind == "slash":
        yield f"dnpn:{first:g}/{second:g}"
    else:
        yield f"pair:{first:g}x{second:g}"


def _without_idle_zeros(word: str) -> str:
    """``f07`` as ``f7``; other words as they are."""
    match = re.fullmatch(r"([a-z]+)0+(\d+)", word)
    return f"{match[1]}{match[2]}" if match else word
