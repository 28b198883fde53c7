"""How much room a text takes, from the one table of the drawing's font; no writer measures text.

The font stands in ``font/`` with its license, reduced to scripts that read left to right without joining
(Latin, Greek, Cyrillic) and the signs of the trade; ``font/measure.py`` writes the table after a change of font.
"""

import math
import re
import unicodedata
from collections.abc import Callable, Iterable
from functools import cache, lru_cache
from importlib.resources import files

from flangelayout.drawing.model import Label
from flangelayout.geometry.shapes import Box, Point, box_around

_FOLDER = files("flangelayout.drawing") / "font"
_HEAD, *_RUNS = (_FOLDER / "widths.txt").read_text(encoding="ascii").splitlines()
FONT_NAME, *_metrics = _HEAD.split("\t")
_EM, _capital, _descent, _ABSENT = map(int, _metrics)
_CAPITAL, _DESCENT = _capital / _EM, _descent / _EM
(FONT_FILE,) = (file for file in _FOLDER.iterdir() if file.name.endswith(".ttf"))
ELLIPSIS = "…"
BEFORE = {"left": 0.0, "center": 0.5, "right": 1.0}
"""How much of a text stands before its place."""
_ON_THE_LINE = frozenset("0123456789ABCDEFGHIKLMNOPRSTUVWXYZ .-–+±=×°⌀")
"""Signs of the font that reach no farther below their line than its round letters do."""
_BREAKS = re.compile(r"\s+(?!(?<=\d\s)\d+/\d|[XY](?:,|$))")
"""Where a text may be broken: not between a number and its fraction, nor before the axis that something lies along."""
_DIRECTION_SIGNS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def font_size(height: float) -> float:
    """Size of the font (its em) whose capitals are ``height`` high, in the same unit."""
    return height / _CAPITAL


@lru_cache(maxsize=20_000)
def text_width(text: str, height: float) -> float:
    """Width in mm of a text whose capitals are ``height`` mm high."""
    return _advance(text) / _EM * font_size(height)


def below_line(text: str, height: float) -> float:
    """How far in mm a text whose capitals are ``height`` mm high may reach below its line: 0 without a tail."""
    return 0.0 if _ON_THE_LINE.issuperset(text) else font_size(height) * _DESCENT


def missing_characters(text: str) -> str:
    """The characters the drawing's font cannot show, each once, in order of appearance."""
    widths = _widths()
    return "".join(dict.fromkeys(character for character in text if character not in widths))


@lru_cache(maxsize=4096)
def plain_line(text: str) -> str:
    """The text as one line that no file format can trip over.

    Line ends and tabs become spaces; other control characters, signs that turn the direction of reading,
    lone surrogates and code points that are no characters become the replacement sign, so that they are
    seen, not dropped.
    """
    line = " ".join(text.split())
    if line.isascii() and line.isprintable():
        return line
    return "".join("\ufffd" if _unprintable(character) else character for character in line)


@lru_cache(maxsize=2_000)
def wrapped(text: str, width: float, height: float) -> tuple[str, ...]:
    """The text in lines no wider than ``width`` mm, ``1 5/32`` and ``ALONG X`` whole; a word too long is split."""
    has_pairs = "/" in text or " X" in text or " Y" in text
    return _filled(_BREAKS.split(text.strip()) if has_pairs else text.split(), width, height, _pieces)


def wrapped_at_commas(text: str, width: float, height: float, mark: str = ",") -> tuple[str, ...]:
    """As :func:`wrapped`, but broken behind commas (or another mark) alone where what is between them fits a line."""
    *parts, last = text.split(f"{mark} ")
    return _filled((*(f"{part}{mark}" for part in parts), last), width, height, wrapped)


def _filled(
    pieces: Iterable[str], width: float, height: float, broken: Callable[[str, float, float], Iterable[str]]
) -> tuple[str, ...]:
    """Lines that each take as many of the pieces as fit; what begins a line is broken where it is too long for one."""
    lines: list[str] = []
    for piece in pieces:
        joined = f"{lines[-1]} {piece}" if lines else piece
        if lines and text_width(joined, height) <= width:
            lines[-1] = joined
        else:
            lines.extend(broken(piece, width, height))
    return tuple(lines)


def label_corners(label: Label, scale: float = 1.0) -> tuple[Point, Point, Point, Point]:
    """The corners of the room a label takes, the tails of its letters included, in the label's own space.

    Args:
        label: The text.
        scale: Printed mm for a mm of that space (1 for paper space).
    """
    left, low, right, top = _room(label, scale)
    turn = math.radians(label.rotation_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    x, y = label.at.x, label.at.y
    return (
        Point(x + left * cos - low * sin, y + left * sin + low * cos),
        Point(x + right * cos - low * sin, y + right * sin + low * cos),
        Point(x + right * cos - top * sin, y + right * sin + top * cos),
        Point(x + left * cos - top * sin, y + left * sin + top * cos),
    )


def label_box(label: Label, scale: float = 1.0) -> Box:
    """The upright box round a label, the tails of its letters included."""
    if label.rotation_deg:
        return box_around(label_corners(label, scale))
    left, low, right, top = _room(label, scale)
    return Box(label.at.x + left, label.at.y + low, label.at.x + right, label.at.y + top)


def _room(label: Label, scale: float) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of the room a label takes about its place before it is turned."""
    height, width = label.height_paper / scale, text_width(label.text, label.height_paper) / scale
    left = -width * BEFORE[label.anchor.across]
    base = -height / 2 if label.anchor.on_middle else 0.0
    return left, base - below_line(label.text, height), left + width, base + height


def _pieces(word: str, width: float, height: float) -> list[str]:
    pieces = [""]
    for character in word:
        if pieces[-1] and text_width(pieces[-1] + character, height) > width:
            pieces.append("")
        pieces[-1] += character
    return pieces


def _unprintable(character: str) -> bool:
    return (
        unicodedata.category(character) in ("Cc", "Cs", "Cn")
        or character in _DIRECTION_SIGNS
        or ord(character) & 0xFFFE == 0xFFFE
    )


@lru_cache(maxsize=4096)
def _advance(text: str) -> int:
    """Width of a text in units of the em; the same few texts are measured again and again while placing them."""
    widths = _widths()
    return sum(widths.get(character, _ABSENT) for character in text)


@cache
def _widths() -> dict[str, int]:
    """Advance widths in units of the em by character."""
    widths: dict[str, int] = {}
    for line in _RUNS:
        first, *run = line.split()
        start = int(first, 16)
        widths.update((chr(start + index), int(width)) for index, width in enumerate(run))
    return widths
