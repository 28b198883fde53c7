r"""What a person typed, as a DXF string that shows the same and changes nothing else.

A DXF file is lines of text, and its readers look for codes inside strings. Decided here, once:

- line ends and control characters: as everywhere in the drawing (``plain_line``), so no string can
  begin a new group;
- ``%%c``, ``%%u``, ``%%065``: a percent sign that stands beside another is written ``%%%``, the code
  for one percent sign;
- the diameter sign U+2300 is written ``%%c``: every CAD font has that code, few have the character;
- ``\U+0041``, ``\M+18163``: the backslash before ``U+`` or ``M+`` is written as its own code ``\U+005C``;
- ``^J``: a caret is written as caret and space, the DXF form of a literal caret;
- characters beyond U+FFFF: as they are in UTF-8 files; the code ``\U+`` of older versions holds four
  digits only, so there they become the replacement sign U+FFFD;
- long strings end in an ellipsis at the longest a group may hold.

Text of a dimension is read as multi-line text, where further signs are codes: backslashes and braces are
escaped, and an empty group keeps ``<>`` and ``[]`` from standing for the measured value.
"""

import re
from functools import lru_cache

from flangelayout.drawing.choices import DxfVersion
from flangelayout.drawing.textwidth import ELLIPSIS, plain_line

_LONGEST = 2049
_LONGEST_SHORT = 255
_LARGEST = 8
"""Bytes of a piece at most."""
_CHARACTER_CODE = r"(?P<code>\\(?=[UuMm]\+))"
_CODES = r"(?P<percent>%(?=[%⌀])|(?<=%)%)|(?P<diameter>⌀)|(?P<caret>\^)|" + _CHARACTER_CODE
_COMMENT_SIGN = re.compile(_CHARACTER_CODE)
_TEXT_SIGN = re.compile(_CODES)
_DIMENSION_SIGN = re.compile(_CODES + r"|(?P<measured>(?<=<)>|(?<=\[)\])|(?P<escaped>[\\{}])")
_WRITTEN = {"percent": "%%%", "diameter": "%%c", "code": r"\U+005C", "caret": "^ "}
_LED_BY = {"measured": "{}", "escaped": "\\"}
_NOT_IN_A_NAME = re.compile(r"[<>/\\\":;?*|=`,']")


@lru_cache(maxsize=4096)
def text_string(text: str, version: DxfVersion) -> str:
    """The string of a TEXT entity; empty if nothing is left to show."""
    return _shortened(_pieces(_TEXT_SIGN, text, version), version, _LONGEST)


def dimension_string(text: str, version: DxfVersion) -> str:
    """The text of a DIMENSION; never empty, for an empty one would be replaced by the measured value."""
    return _shortened(_pieces(_DIMENSION_SIGN, text, version), version, _LONGEST) or " "


def dimension_words(text: str, version: DxfVersion) -> str:
    """What stands before or behind the measured value of a DIMENSION, spaces at its ends kept; may be empty."""
    words = "".join(_pieces(_DIMENSION_SIGN, text, version))
    lead, tail = (" " if text[end:][:1].isspace() else "" for end in (0, -1))
    return f"{lead}{words}{tail}" if words else lead


def comment_string(text: str, version: DxfVersion) -> str:
    """A comment or a property of the file: one line, in which readers look for codes of characters only."""
    return _shortened(_pieces(_COMMENT_SIGN, text, version), version, _LONGEST_SHORT)


def layout_name(text: str, taken: set[str], version: DxfVersion) -> str:
    """A name for a page that is not among ``taken``, which are in lower case: DXF tells no case apart."""
    wanted = _NOT_IN_A_NAME.sub("-", _in_reach(text, version)).strip()[:30] or "Sheet"
    name, count = wanted, 1
    while name.lower() in taken:
        count += 1
        name = f"{wanted} ({count})"
    return name


def _in_reach(text: str, version: DxfVersion) -> str:
    """One plain line of characters the file version can hold."""
    line = plain_line(text)
    if version.is_unicode:
        return line
    return "".join("\ufffd" if character > "\uffff" else character for character in line)


def _pieces(signs: re.Pattern[str], text: str, version: DxfVersion) -> list[str]:
    """What stands for each character typed, codes made harmless."""
    line, pieces = _in_reach(text, version), list[str]()
    end = 0
    for match in signs.finditer(line):
        pieces += [*line[end : match.start()], _written(match)]
        end = match.end()
    return [*pieces, *line[end:]]


def _written(match: re.Match[str]) -> str:
    kind = match.lastgroup or ""
    return _WRITTEN.get(kind) or _LED_BY[kind] + match[0]


def _shortened(pieces: list[str], version: DxfVersion, longest: int) -> str:
    """The pieces joined, the last ones given up for an ellipsis where the file has no room for them."""
    whole = "".join(pieces)
    if len(pieces) * _LARGEST <= longest or (whole.isascii() and len(whole) <= longest):
        return whole
    sizes = [_size(piece, version) for piece in pieces]
    if sum(sizes) <= longest:
        return whole
    room = longest - _size(ELLIPSIS, version)
    kept = 0
    while room >= sizes[kept]:
        room -= sizes[kept]
        kept += 1
    return "".join(pieces[:kept]) + ELLIPSIS


def _size(piece: str, version: DxfVersion) -> int:
    r"""Bytes of a piece in the file; what code page 1252 lacks takes the seven of ``\U+xxxx``."""
    if version.is_unicode:
        return len(piece.encode())
    return sum(len(character.encode("cp1252", "ignore")) or 7 for character in piece)
