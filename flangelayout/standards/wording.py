"""What people write for a size, a pressure class or a table, taken apart into comparable terms.

The same recognizers read a published ``PN 16`` / ``DN150`` and a spoken ``pn16, 150 mm nominal``,
so both sides of a look-up are compared as equal keys such as ``pn:16`` or ``dn:150``.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

_NUMBER = r"\d{1,2}-\d{1,2}/[1-9]\d?|(?<!\d)[1-3] \d/[1-9]|\d{1,2}/[1-9]\d?|\d+(?:\.\d+)?|\.\d+"
_INCH_SIGN = r"(?:\"|''|-?inch(?:es)?\b|-?in\b\.?)"
_RECOGNIZERS: tuple[tuple[str, str], ...] = (
    ("pn", r"(?<![a-z])pn\s*(\d+(?:\.\d+)?(?:/\d+)*)(?![\d.])"),
    ("class", r"(?<![a-z])(?:class|cl\.?)\s*(\d{2,4}|[a-e])\b"),
    ("class", r"#(\d{2,4})\b|\b(\d{2,4})(?:\s*#|\s?lbs?\b|\s?pounds?\b)"),
    ("table", r"(?<![a-z])(?:table|tab\.?|tbl\.?)\s*([a-z])\b"),
    ("k", r"(?<![\d.])(\d{1,2})\s*k(?![a-z])"),
    ("holes", r"(?<![\d.])(\d{1,2})[\s-]*(?:holes?|bolts?)\b"),
    ("dn", r"(?<![a-z])dn\s*(\d+)"),
    ("x", r"(?<![\d.])(\d{1,3}(?:\.\d+)?\s*x\s*\d+(?:\.\d+)?)(?:\s*(?:mm\b|" + _INCH_SIGN + "))?"),
    ("x", r"(?<![\d./-])((?:[3-9]|10)-\d{2,3}(?:\.\d+)?)(?![\d/-])"),
    ("nps", rf"(?<![a-z])nps\s*({_NUMBER})\s*{_INCH_SIGN}?|({_NUMBER})\s*(?:{_INCH_SIGN}|nps\b)"),
    ("a", r"(?<![\d.])(\d{1,4})a(?![a-z\d])"),
    ("n", rf"(?<![a-z\d.])({_NUMBER})(?![a-z\d])"),
    ("w", r"([a-z]+[\d.]*|\d[\d.]*[a-z]+)"),
)
_SIZE_KINDS = ("nps", "dn", "a", "x", "xin")
_GRADE_KINDS = ("pn", "class", "table", "k")
_IDLE_WORDS = frozenset(
    {
        *("flange", "flanges", "blind", "rf", "rtj", "pattern", "size", "nominal", "drilling", "drilled"),
        *("pcd", "bcd", "mm", "to", "the", "of", "and", "with", "for", "no"),
    }
)
_TYPOGRAPHY = str.maketrans({"″": '"', "”": '"', "“": '"', "⁄": "/", "−": "-", "–": "-", "×": "x", "\u00a0": " "})
_LARGEST_WHEEL_INCHES = 25


@dataclass(frozen=True, slots=True)
class Term:
    """One thing a text asks for.

    Attributes:
        written: The words as written.
        keys: Keys any one of which answers it, such as ``{"pn:10", "pn:16"}`` for ``PN10/16``.
    """

    written: str
    keys: frozenset[str]


def plain(text: str) -> str:
    """The text in lower case with typographic signs made plain and characters such as ½ spelled out."""
    if text.isascii():
        return " ".join(text.lower().split())
    out = []
    for character in text.translate(_TYPOGRAPHY):
        parts = unicodedata.normalize("NFKC", character).split("\u2044")
        out.append(f" {parts[0]}/{parts[1]}" if len(parts) > 1 else character)
    return " ".join("".join(out).lower().split())


def terms(text: str) -> tuple[Term, ...]:
    """What a plain text asks for, in the order written; words that say nothing are left out.

    A bare number is a size where a grade is named (``class 150 6``), a grade where a size is named
    (``6 in 150``), and either where neither is.
    """
    found = [term for _, term in sorted(_scan(text), key=lambda item: item[0]) if term.keys]
    kinds = {key.partition(":")[0] for term in found for key in term.keys}
    places = ["size"] * kinds.isdisjoint(_SIZE_KINDS) + ["grade"] * kinds.isdisjoint(_GRADE_KINDS)
    return tuple(_placed(term, places or ["size", "grade"]) for term in found)


def published_keys(grade: str, size: str) -> frozenset[str]:
    """Keys a row answers to for its grade and size, with the bare numbers and words in them."""
    return _keys_of(grade, "grade") | _keys_of(size, "size")


@cache
def _keys_of(printed: str, place: str) -> frozenset[str]:
    keys: set[str] = set()
    for _, term in _scan(plain(printed)):
        keys |= {key for key in term.keys if not key.startswith("n:")}
        for part in re.findall(r"\d+(?:\.\d+)?", " ".join(key.partition(":")[2] for key in term.keys)):
            keys.add(f"{place}:{number(part)}")
        keys |= {f"w:{word}" for word in re.findall(r"[a-z]+", term.written)}
    return frozenset(keys)


def _placed(term: Term, places: list[str]) -> Term:
    """A bare number as a number in the grade, in the size or in either; other terms as they are."""
    (key, *_) = term.keys
    kind, _, value = key.partition(":")
    return Term(term.written, frozenset(f"{place}:{value}" for place in places)) if kind == "n" else term


def number(text: str) -> str:
    """A written number in one spelling: ``1-1/4``, ``1 1/4`` and ``1.25`` are all ``1.25``; ``00`` stays."""
    if text.startswith("00"):
        return text
    value = sum((Fraction(part) for part in text.replace("-", " ").split()), start=Fraction(0))
    return f"{float(value):g}"


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
        case "x":
            return frozenset(_holes_by_circle(value))
        case "w":
            word = value.rstrip(".")
            return frozenset() if word in _IDLE_WORDS else frozenset({f"w:{_without_idle_zeros(word)}"})
        case "class" | "table" if value.isalpha():
            return frozenset({f"{kind}:{value}"})
        case _:
            return frozenset({f"{kind}:{number(value)}"})


def _holes_by_circle(value: str) -> Iterator[str]:
    """``5x114.3``, whichever number is written first; a circle below 25 is in inches, as in ``5x4.5``."""
    holes, circle = sorted(float(part) for part in re.split(r"\s*[x-]\s*", value))
    if not holes.is_integer():
        holes, circle = circle, holes
    kind = "xin" if circle < _LARGEST_WHEEL_INCHES else "x"
    yield f"{kind}:{holes:g}x{circle:g}"


def _without_idle_zeros(word: str) -> str:
    """``f07`` as ``f7``; other words as they are."""
    match = re.fullmatch(r"([a-z]+)0+(\d+)", word)
    return f"{match[1]}{match[2]}" if match else word
