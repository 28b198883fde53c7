"""The words behind a bolt's size: grade, kind, length, thread class; whatever else stands there is refused."""

import re
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.standards.faults import Fault, misread
from flangelayout.standards.inches import INCHES, SIZE, length_of
from flangelayout.units import Unit

if TYPE_CHECKING:
    from flangelayout.flange.drilling import Fastener

_GRADES = re.compile(
    r"(?:(?:property\s)?cl(?:ass)?|grade|gr)?[\s.]*(?P<metric>(?:[34568]|9|10|12)\.[689])(?![\d.])"
    r"|(?P<stainless>a[245](?:-\d\d)?)\b"
    r"|(?:grade|gr\.?|g)\s*(?P<inch>[258]|c)(?![\d.])"
    r"|(?P<steel>(?:(?:astm|asme)\s*)?(?:s?a|f)[\s-]?\d{3}m?(?:[\s-]+(?:gr(?:ade)?\.?\s*)?[bl]\d{1,2}[a-z]?)?)\b"
    r"|(?:grade|gr\.?)?\s*(?P<alloy>[bl]\d{1,2}[a-z]?)\b"
)
_LENGTHS = re.compile(rf"(?P<length>{SIZE})\s*(?P<unit>{INCHES}|mm\b)?\s*(?:long|lg)\b\.?")
_TOLERANCE = re.compile(r"\b(?:[1-3][ab]|[3-9][eghEGH](?:[3-9][gh])?)\b")
_STUD_WORDS = frozenset({"stud", "studs", "studbolt", "studbolts", "rod"})
_BOLT_WORDS = frozenset({"bolt", "bolts", "screw", "screws"})
_IDLE_WORDS = frozenset(
    {
        *("hex", "hexagon", "heavy", "head", "cap", "socket", "machine", "set", "threaded", "full", "fully", "thread"),
        *("galvanized", "galvanised", "galv", "hdg", "zinc", "plated", "black", "plain", "coated"),
        *("stainless", "steel"),
        *("long", "mm", "in", "x", "and", "coarse", "fine"),
    }
)


class BoltWords(Struct, frozen=True):
    """What the words behind a size say."""

    grade: str = ""
    fastener: "Fastener | None" = None
    length_text: str = ""
    length_unit: str = ""

    def length(self, unit: Unit, written: str) -> float | None:
        """The length in mm of an ``80 long``."""
        if not self.length_text:
            return None
        own = {"": unit, "mm": Unit.MM}.get(self.length_unit, Unit.IN)
        return length_of(self.length_text, own, written)


def _fastener(stud: bool) -> "Fastener":
    """The kind of fastener; tables of drillings name none, and are read without the room of flanges."""
    from flangelayout.flange.drilling import Fastener

    return Fastener.STUD if stud else Fastener.BOLT


def words_of(rest: str, written: str) -> BoltWords:
    """Grade, kind and length among the words behind a size; any other word is refused."""
    long = _LENGTHS.search(rest)
    rest = _LENGTHS.sub(" ", rest, count=1)
    grade = _GRADES.search(rest)
    rest = _TOLERANCE.sub(" ", _GRADES.sub(" ", rest, count=1))
    words = [word for word in re.split(r"[\s,;()/-]+", rest) if word]
    unknown = [word for word in words if word not in _STUD_WORDS | _BOLT_WORDS | _IDLE_WORDS]
    if unknown:
        raise misread(Fault.UNKNOWN_WORD, written, unknown[0])
    stud = not _STUD_WORDS.isdisjoint(words)
    bolt = not stud and not _BOLT_WORDS.isdisjoint(words)
    return BoltWords(
        grade=next((found for found in grade.groups() if found), "").upper() if grade else "",
        fastener=_fastener(stud) if stud or bolt else None,
        length_text=long["length"] if long else "",
        length_unit=(long["unit"] or "") if long else "",
    )
