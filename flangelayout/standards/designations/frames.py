"""Motor frames: the flange that a shaft height and a mounting usually have; the number on the motor decides."""

import re
from functools import cache

from msgspec import Struct

from flangelayout.provenance import Confidence, Family
from flangelayout.standards.designations.wording import Term
from flangelayout.standards.rows import shipped
from flangelayout.standards.tables import all_tables

_FLANGE_MOUNTINGS = {"B5": r"b\s?35|b\s?5|v\s?1|3001|2001|3011", "B14": r"b\s?34|b\s?14|v\s?18|3601|2101|3611"}
_FRAME = r"(?:(?:frame|size|bg|baugrosse|bg\.|hauteur d'axe|carcasa|carcaca|iec)\s*)*"
_LETTERS = r"\s?(?:[smlx]{1,2}[a-d]?(?:/[smlx])?)?"


class FramePairing(Struct, frozen=True):
    """A motor frame with its mounting and the flange it usually has.

    Attributes:
        frame: Shaft height in mm.
        mounting: ``B5``, ``B14 small`` or ``B14 large``.
        flange: Number of the flange, as the table has it.
        note: What to look out for; may be empty.
        confidence: How well the pairing is vouched for.
    """

    frame: int
    mounting: str
    flange: str
    note: str
    confidence: Confidence


class Framed(Struct, frozen=True):
    """What a text says about a motor's frame.

    Attributes:
        terms: The flanges it may mean.
        pairings: The pairings behind them.
        rest: The text without it.
    """

    terms: tuple[Term, ...]
    pairings: tuple[FramePairing, ...]
    rest: str


@cache
def all_pairings() -> tuple[FramePairing, ...]:
    """Every pairing of frame, mounting and flange."""
    return tuple(
        FramePairing(
            int(cells["frame"]), cells["mounting"], cells["flange"], cells["note"], Confidence(cells["confidence"])
        )
        for cells in (row.cells for row in shipped("names", "iec_frames.csv").rows)
    )


def frame_in(text: str) -> Framed:
    """The motor frame that a plain text names with its mounting, as ``63 b14``, ``iec 90s b5`` or ``a200 b5``."""
    for mounting, pattern in _FLANGE_MOUNTINGS.items():
        found = _expression(pattern).search(text)
        if found:
            rest = f"{text[: found.start()]} ; {text[found.end() :]}"
            outside = found["outside"] or found["ahead"] or found["across"] or found["letter"]
            if outside:
                return _by_outside(mounting, int(outside), found[0], rest)
            return _by_frame(mounting, found, int(found["frame"] or found["after"]), rest)
    return Framed((), (), text)


def frame_alone(number: float) -> tuple[FramePairing, ...]:
    """Every flange that a motor of a frame may have."""
    return tuple(pairing for pairing in all_pairings() if pairing.frame == number)


def _by_frame(mounting: str, found: re.Match[str], frame: int, rest: str) -> Framed:
    """The flange of the frame; of a B14 the smaller, which is the usual one, unless the larger is asked for."""
    wanted = "B5" if mounting == "B5" else f"B14 {'large' if found['large'] or found['large_behind'] else 'small'}"
    pairings = tuple(each for each in frame_alone(frame) if each.mounting == wanted)
    keys = frozenset(f"w:{each.flange.lower()}" for each in pairings) or frozenset({f"w:{found[0]}"})
    return Framed((Term(found[0], keys),), pairings, rest)


def _by_outside(mounting: str, outside: int, written: str, rest: str) -> Framed:
    series = "FF" if mounting == "B5" else "FT"
    rows = (row for table in all_tables() if table.family is Family.MOTOR_FLANGE for row in table.patterns)
    sizes = frozenset(
        f"w:{row.size.lower()}" for row in rows if row.size.startswith(series) and row.outside_diameter == outside
    )
    return Framed((Term(written, sizes or frozenset({f"w:{written}"})),), (), rest)


@cache
def _expression(mounting: str) -> re.Pattern[str]:
    im = rf"(?:im\s*)?(?:{mounting})(?!\d)"
    large = r"(?:\s*(?P<large>large|gross)|\s*(?:small|klein))?"
    outside = r"(?:(?P<outside>\d{2,4})\s?mm(?:\s*flange|\s*flansch)?|[ac](?P<across>\d{2,4})(?!\d))"
    return re.compile(
        rf"(?<![a-z\d.]){im}{large}[\s/-]*(?:{outside}|{_FRAME}(?P<after>\d{{2,3}}){_LETTERS}(?![\d.]))(?![a-z\d])"
        rf"|(?<![a-z\d.])(?:[ac](?P<letter>\d{{2,4}})|(?P<ahead>\d{{2,4}})\s?mm|{_FRAME}(?P<frame>\d{{2,3}}){_LETTERS}(?:\s*(?:frame|flange))*)[\s/-]*{im}(?:\s*(?P<large_behind>large|gross)|\s*(?:small|klein))?"
    )
