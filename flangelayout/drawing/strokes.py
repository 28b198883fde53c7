"""Single-stroke letters for marking on metal: capitals, digits and a few signs, of straight strokes only.

Drawn for this program on a grid four wide and six high, corners cut at 45 degrees so that a torch, a jet or
a scriber follows them without stopping. No stroke is traced twice.
"""

import unicodedata
from itertools import pairwise

from flangelayout.geometry.shapes import Contour, Line, Point

_HIGH = 6
_ADVANCE = 6
_LAST = 4
_GLYPHS = {
    " ": "",
    "A": "0004264440 0242",
    "B": "00063645443303 3342413000",
    "C": "4536160501103041",
    "D": "00062644422000",
    "E": "46060040 0333",
    "F": "460600 0333",
    "G": "45361605011030414323",
    "H": "0006 4046 0343",
    "I": "2026 1636 1030",
    "J": "0110203136",
    "K": "0006 460340",
    "L": "060040",
    "M": "0006234640",
    "N": "00064046",
    "O": "100105163645413010",
    "P": "00063645443303",
    "Q": "100105163645413010 2240",
    "R": "00063645443303 2340",
    "S": "453616050413334241301001",
    "T": "0646 2620",
    "U": "060110304146",
    "V": "062046",
    "W": "0610233046",
    "X": "0046 0640",
    "Y": "062346 2320",
    "Z": "06460040",
    "0": "100105163645413010 1234",
    "1": "152620 1030",
    "2": "05163645440040",
    "3": "0516364544334241301001 3313",
    "4": "30360242",
    "5": "460604344341301001",
    "6": "453616050110304142331302",
    "7": "064620",
    "8": "13040516364544331302011030414233",
    "9": "011030414536160504133344",
    "-": "1333",
    "+": "1333 2224",
    "=": "1232 1434",
    ".": "2021",
    ",": "1021",
    ":": "2122 2425",
    "/": "0046",
    "_": "0040",
    "(": "36252130",
    ")": "16252110",
}
_UNKNOWN = "0006464000"


def stroke_text(text: str, height: float, at: Point) -> tuple[Line | Contour, ...]:
    """The strokes of a level line of text.

    Args:
        text: Letters without a capital of their own here lose their accents; a sign that is not in the set
            becomes a box.
        height: Of the capitals in mm.
        at: Left end of the baseline.
    """
    scale = height / _HIGH
    strokes: list[Line | Contour] = []
    for index, sign in enumerate(plain_signs(text)):
        for stroke in _GLYPHS.get(sign, _UNKNOWN).split():
            places = [(int(stroke[i]), int(stroke[i + 1])) for i in range(0, len(stroke), 2)]
            points = [Point(at.x + (x + index * _ADVANCE) * scale, at.y + y * scale) for x, y in places]
            lines = tuple(Line(start, end) for start, end in pairwise(points))
            strokes.append(lines[0] if len(lines) == 1 else Contour(lines, closed=points[0] == points[-1]))
    return tuple(strokes)


def stroke_width(text: str, height: float) -> float:
    """Width in mm of a line of text."""
    signs = plain_signs(text)
    return max((len(signs) - 1) * _ADVANCE + _LAST, 0) * height / _HIGH


def plain_signs(text: str) -> str:
    """The text in capitals without accents."""
    parts = unicodedata.normalize("NFKD", text.upper())
    return "".join(sign for sign in parts if not unicodedata.combining(sign))


def unmarkable(text: str) -> str:
    """The signs of a text that would be marked as a box, each once."""
    return "".join(dict.fromkeys(sign for sign in plain_signs(text) if sign not in _GLYPHS))
