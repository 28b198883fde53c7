"""Texts with their signs made plain, so that every spelling of one thing is one text."""

import re
import unicodedata
from fractions import Fraction

_TYPOGRAPHY = str.maketrans(
    {
        **{"″": '"', "”": '"', "“": '"', "„": '"', "’": "'", "⁄": "/", "−": "-", "–": "-", "—": "-", "×": "x"},
        **{"\u00a0": " ", "\u2009": " ", "ø": " ", "⌀": " ", "Ø": " ", "∅": " "},
    }
)


def plain(text: str) -> str:
    """The text in lower case with typographic signs made plain, accents dropped and signs such as ½ spelled out."""
    if text.isascii():
        return " ".join(text.lower().split())
    out = []
    for character in text.translate(_TYPOGRAPHY):
        parts = unicodedata.normalize("NFKC", character).split("\u2044")
        out.append(f" {parts[0]}/{parts[1]}" if len(parts) > 1 else character)
    bare = (sign for sign in unicodedata.normalize("NFKD", "".join(out)) if not unicodedata.combining(sign))
    return " ".join("".join(bare).lower().replace("\u00df", "ss").split())


_MIXED = re.compile(r"(?<![\d./])(\d{1,2})(?:\s*[-+&]\s*|\.|\s+(?:and\s+)?)(\d{1,2})/(2|4|8|16|32)(?![\d/])")
_FRACTION = re.compile(r"(?<![\d./])(\d{1,2})/(2|4|8|16|32)(?![\d/])")
_DECIMAL_COMMA = re.compile(r"(?<=\d),(?=\d{1,2}(?!\d))")
_SIGN_X = re.compile(
    r"(?:(?<=[\"#])|(?<=lb|mm|nb|in)|(?<=lug)|(?<=stud|hole|bolt))\s*x\s*(?=\d)|(?<=\d)x(?=table|class|dn|pn|nps)"
)
_LETTER_O = re.compile(r"(?<=\d)o(?=\d|\b)")


def with_decimals(text: str) -> str:
    """A plain text with its fractions and decimal commas as decimals: ``1-1/2`` and ``1,5`` are ``1.5``.

    Only a fraction in lowest terms is one: ``PN10/16`` stays. An O behind a digit is a nought.
    """
    text = _LETTER_O.sub("0", text)
    text = _DECIMAL_COMMA.sub(".", _SIGN_X.sub(" x ", text))
    return _FRACTION.sub(_decimal, _MIXED.sub(_decimal, text))


def _decimal(match: re.Match[str]) -> str:
    *whole, top, bottom = (int(group) for group in match.groups())
    if top >= bottom or top % 2 == 0:
        return match[0]
    return f"{float(sum(whole) + Fraction(top, bottom)):.5f}".rstrip("0")
