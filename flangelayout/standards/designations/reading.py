"""What a text asks of the tables: its terms, and everything that was read into it or out of it on the way."""

import re
from collections.abc import Iterator

from msgspec import Struct

from flangelayout.standards.designations.frames import FramePairing, frame_alone, frame_in
from flangelayout.standards.designations.index import RowIndex
from flangelayout.standards.designations.names import Alias, known_numbers, names_in
from flangelayout.standards.designations.vocabulary import dropped, in_our_words, is_idle, speaks_of_more
from flangelayout.standards.designations.wording import Term, placed, terms
from flangelayout.standards.typography import plain, with_decimals
from flangelayout.value import replace

_SHORTEST_BEGINNING = 3
_SHORTEST_SLIP = 4
_QUOTED_LETTER = re.compile(r"[\"']([a-z])[\"']")
_SPLIT_CODE = re.compile(r"(?<![a-z\d.])([a-z]{1,3})[ -]?(\d{1,4})(?![\d./])|(?<![\d.])(\d{2,3}) ([a-z]{1,3})(?![a-z])")
_DOTTED = re.compile(r"(?<![a-z\d.])(?:(?:[a-z]\.){2,}[a-z]?(?![a-z])|[a-z]\.[a-z](?![a-z\d]))")
_KEYWORDS = (
    "class",
    "table",
    "series",
    "flange",
    "inch",
    "asme",
    "ansi",
    "awwa",
    "nema",
    "chainring",
    "wheel",
    "pound",
)
_ARMS = ("n:3", "n:4", "n:5", "n:6")
_BARE = frozenset({"size", "grade"})
_IEC = "std:IEC 60072-1"


class Correction(Struct, frozen=True):
    """A slip of the pen: what was written, and what it was read as."""

    written: str
    read_as: str


class DesignationReading(Struct, frozen=True):
    """What a text asks for.

    Attributes:
        written: The text, with its spaces made single.
        terms: What it asks for; a row answers where it answers to every one.
        without: Words that do not change a drilling and were left out, as written but in capitals.
        corrections: Slips of the pen that were put right.
        aliases: Names in it that are not the tables' own.
        pairings: Pairings of motor frame and flange behind it.
        own: Standards it calls by their very name.
    """

    written: str
    terms: tuple[Term, ...]
    without: tuple[str, ...] = ()
    corrections: tuple[Correction, ...] = ()
    aliases: tuple[Alias, ...] = ()
    pairings: tuple[FramePairing, ...] = ()
    own: frozenset[str] = frozenset()

    @property
    def names_a_standard(self) -> bool:
        """Whether any standard is named."""
        return any(key.startswith("std:") for term in self.terms for key in term.keys)

    def kinds(self) -> frozenset[str]:
        """The kinds of key it asks by, such as ``dn`` and ``pn``."""
        return frozenset(key.partition(":")[0] for term in self.terms for key in term.keys)


def read(text: str, index: RowIndex) -> DesignationReading:
    """What a text asks for, as it stands."""
    written = " ".join(text.split())
    return replace(_read(_normal(text), index), written=written)


def without_unknown(reading: DesignationReading, index: RowIndex) -> DesignationReading | None:
    """The same without the words that no table knows and that name no other joint.

    None where there are none, or where only bare numbers would be left.
    """
    left_out = tuple(term for term in reading.terms if _says_nothing(term, index))
    terms = tuple(term for term in reading.terms if term not in left_out)
    if not left_out or all(_BARE.issuperset(key.partition(":")[0] for key in term.keys) for term in terms):
        return None
    return replace(reading, terms=terms, without=reading.without + tuple(term.written.upper() for term in left_out))


def _says_nothing(term: Term, index: RowIndex) -> bool:
    word = term.written
    unknown = all(key.startswith("w:") for key in term.keys) and index.words.isdisjoint(term.keys)
    return unknown and len(word) > 1 and word.isalpha() and not speaks_of_more(word)


def corrected(text: str, index: RowIndex) -> Iterator[DesignationReading]:
    """The readings of a text that no row answers to, with a slip of the pen put right; the likeliest first."""
    written = " ".join(text.split())
    normal = _normal(text)
    for correct in (_joined_digits, _p_for_pn, _slips):
        corrections = correct(normal, index)
        for correction in corrections:
            normal = normal.replace(correction.written, correction.read_as)
        if corrections:
            yield replace(_read(normal, index), written=written, corrections=corrections)


def _normal(text: str) -> str:
    """The text in the words and signs the tables are read by."""
    normal = with_decimals(plain(text).strip(" ,;:!?").rstrip(" .,"))
    normal = _DOTTED.sub(lambda match: match[0].replace(".", ""), normal)
    return in_our_words(_QUOTED_LETTER.sub(r"\1", normal))


def _read(normal: str, index: RowIndex) -> DesignationReading:
    named = names_in(normal)
    framed = frame_in(named.rest)
    rest, without = dropped(_codes_joined(framed.rest, index))
    found = (*named.terms, *framed.terms, *_other_terms(rest, named.terms, index))
    return DesignationReading(
        written=normal,
        terms=_with_frames(placed(found)),
        without=tuple(word.strip().upper() for word in without),
        aliases=named.aliases,
        pairings=framed.pairings,
        own=named.own,
    )


def _other_terms(rest: str, names: tuple[Term, ...], index: RowIndex) -> Iterator[Term]:
    """The terms of what is left, without the words that say nothing."""
    lettered = any("std:AS 2129" in term.keys or "std:BS 10" in term.keys for term in names)
    wide = terms(rest)
    waterworks = any("std:AS 4087" in term.keys for term in names)
    numbered = any("std:SAE J617" in term.keys for term in names)
    arms = _ARMS if any(key.startswith("bcd:") for term in wide for key in term.keys) else ()
    graded = any(key.startswith("pn:") for term in (*wide, *names) for key in term.keys)
    for term in wide:
        (key, *others) = term.keys
        word = key.removeprefix("w:")
        if not others and key.startswith("w:") and is_idle(word) and not (numbered and word == "no"):
            continue
        if arms and key in arms:
            yield Term(term.written, frozenset({f"holes:{key.removeprefix('n:')}"}))
            continue
        if lettered and re.fullmatch(r"t?[a-j]", word):
            yield Term(term.written, frozenset({f"table:{word[-1]}", key}))
        elif waterworks and key.startswith("class:"):
            yield Term(term.written, frozenset({key.replace("class:", "pn:")}))
        elif match := re.fullmatch(r"n([wd])(\d+)", word):
            yield _old_nominal(term, match[1], match[2], graded or "nd" in rest)
        else:
            yield _with_beginnings(term, index.words)


def _old_nominal(term: Term, letter: str, value: str, graded: bool) -> Term:
    """``NW150 ND16``: nominal width and pressure of the older German sheets; NW alone is a clamp flange."""
    if not graded:
        return term
    return Term(term.written, frozenset({f"{'dn' if letter == 'w' else 'pn'}:{value}"}))


def _with_frames(found: tuple[Term, ...]) -> tuple[Term, ...]:
    """Beside the name of the IEC standard a bare number may be a frame as well as a flange."""
    if not any(term.keys == {_IEC} for term in found):
        return found
    return tuple(Term(term.written, term.keys | _frame_keys(term)) for term in found)


def _frame_keys(term: Term) -> frozenset[str]:
    sizes = [key.removeprefix("size:") for key in term.keys if key.startswith("size:")]
    return frozenset(f"w:{each.flange.lower()}" for size in sizes for each in frame_alone(float(size)))


def _with_beginnings(term: Term, words: frozenset[str]) -> Term:
    """A word cut short stands for every word it begins."""
    (key, *others) = term.keys
    if others or key in words or not key.startswith("w:") or len(key) < len("w:") + _SHORTEST_BEGINNING:
        return term
    return Term(term.written, frozenset({key, *(word for word in words if word.startswith(key))}))


def _codes_joined(text: str, index: RowIndex) -> str:
    """``ff 215`` and ``143 tc`` as one word where that is a word of the tables."""

    def joined(match: re.Match[str]) -> str:
        letters, digits = (match[1], match[2]) if match[1] else (match[4], match[3])
        code = f"{letters}{digits.lstrip('0')}" if match[1] else f"{digits}{letters}"
        return code if f"w:{code}" in index.words and code != letters else match[0]

    return _SPLIT_CODE.sub(joined, text)


def _joined_digits(normal: str, index: RowIndex) -> tuple[Correction, ...]:
    """``PN1 6``: a space within a number."""
    return tuple(
        Correction(match[0], f"{match[1]}{match[2]}{match[3]}")
        for match in re.finditer(r"\b(pn|dn|class) ?(\d{1,2}) (\d{1,2})(?![\d./])(?=$| )", normal)
    )


def _p_for_pn(normal: str, index: RowIndex) -> tuple[Correction, ...]:
    """``P16`` beside a DN."""
    if "dn" not in normal:
        return ()
    return tuple(Correction(match[0], f"pn{match[1]}") for match in re.finditer(r"\bp ?(\d+(?:\.\d+)?)\b", normal))


def _slips(normal: str, index: RowIndex) -> tuple[Correction, ...]:
    """Words and numbers of standards one stroke away from the right one."""
    found = []
    for word in dict.fromkeys(re.findall(r"[a-z]{4,}|\d{4,5}(?:-\d)?(?!\d)", normal)):
        known = _KEYWORDS if word[0].isalpha() else known_numbers()
        if word in known or f"w:{word}" in index.words:
            continue
        near = [each for each in known if _one_stroke(word, each)]
        if len(near) == 1:
            found.append(Correction(word, near[0]))
    return tuple(found)


def _one_stroke(word: str, other: str) -> bool:
    """Whether one letter more, less, changed or swapped with the next makes one word the other."""
    if abs(len(word) - len(other)) > 1 or word == other or len(word) < _SHORTEST_SLIP:
        return False
    at = next((place for place, pair in enumerate(zip(word, other, strict=False)) if pair[0] != pair[1]), len(word))
    here, there = word[at:], other[at:]
    swapped = len(here) > 1 and here[:2] == there[1::-1] and here[2:] == there[2:]
    return swapped or here[1:] == there[1:] or here[1:] == there or here == there[1:]
