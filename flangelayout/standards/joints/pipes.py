"""Bores from pipes as people write them: ``pipe 6 in sch 40, slip-on`` or ``DN150 6.3, weld neck``."""

import re

from msgspec import Struct

from flangelayout.errors import InputError, UnitError
from flangelayout.flange.joints.pipe import PipeBore, PipeFit
from flangelayout.problems.standards import StandardsProblem
from flangelayout.provenance import Confidence
from flangelayout.standards.rows import shipped
from flangelayout.units import Unit, parse_length, to_mm

_FITS = (
    (PipeFit.SLIP_ON, re.compile(r"\bslip[- ]?on\b|\bso\b")),
    (PipeFit.WELD_NECK, re.compile(r"\bweld(?:ing)?[- ]?neck\b|\bwn\b")),
)
_OF_PIPE = re.compile(r"\b(?:pipe|nps|dn|sch|std|xs|xxs)\s*\d*\b")
_NUMBER = r"(\d+(?:[- ]\d+/\d+|/\d+)?)"
_SIZE = re.compile(rf"\bnps\s*{_NUMBER}(?:\s*(?:in\b|inch\b|\"))?|{_NUMBER}\s*(?:inch\b|in\b|\")|\b(dn)\s*(\d+)\b")
_SCHEDULE = re.compile(r"\bsch(?:edule|\.)?\s*(\d+\s*s?)\b|\b(std|xs|xxs)\b")
_WALL = re.compile(r"(\d+(?:\.\d+)?)\s*(mm|in\b|\")?")
_SAME_PIPE = 0.5
"""How far in mm outside diameters of one size are apart by standard and rounding where it is the same pipe."""
_NPS_OF_DN = {
    15: "1/2", 20: "3/4", 25: "1", 32: "1 1/4", 40: "1 1/2", 50: "2", 65: "2 1/2", 80: "3", 90: "3 1/2",
    100: "4", 125: "5", 150: "6", 200: "8", 250: "10", 300: "12", 350: "14", 400: "16", 450: "18", 500: "20",
    550: "22", 600: "24",
}  # fmt: skip
"""NPS of each DN (ASME B36.10M)."""


class _Pipe(Struct, frozen=True):
    """A row of the pipe table, lengths in mm."""

    standard: str
    size: str
    schedule: str
    outside: float
    wall: float | None
    confidence: Confidence


def is_pipe(text: str) -> bool:
    """Whether a text means a pipe and no length."""
    low = text.lower()
    return bool(_OF_PIPE.search(low)) or any(each.search(low) for _, each in _FITS)


def pipe_bore(text: str) -> PipeBore:
    """The bore for a pipe.

    A slip-on bore is that of ASME B16.5 for the pipe's size; a weld neck is as wide as the pipe inside.

    Args:
        text: Size, wall or schedule, and fit, as people write them.

    Raises:
        InputError: If size, wall or fit is missing, unknown or can be read two ways, with what there is.
    """
    rest = text.lower().replace("″", '"').replace(",", " ")
    fit, rest = _fit(text, rest)
    size, rest = _size(text, rest)
    schedule, wall = _wall(text, rest)
    pipe = _pipe(size, schedule, wall)
    if fit is PipeFit.SLIP_ON:
        return _slip_on(pipe)
    if pipe.wall is None:
        raise InputError.of(StandardsProblem.PIPE_WALL_MISSING, size=pipe.size, known=_schedules(size))
    bore = pipe.outside - 2 * pipe.wall
    if bore <= 0:
        raise InputError.of(StandardsProblem.PIPE_WALL_TOO_THICK, written=text)
    named = (pipe.standard, pipe.confidence, bore, None, pipe.confidence)
    return PipeBore(fit, pipe.size, pipe.schedule, pipe.outside, pipe.wall, *named)


def _fit(text: str, rest: str) -> tuple[PipeFit, str]:
    found = [(fit, pattern) for fit, pattern in _FITS if pattern.search(rest)]
    if len(found) != 1:
        raise InputError.of(StandardsProblem.PIPE_FIT_MISSING, written=text, known=tuple(fit.value for fit in PipeFit))
    fit, pattern = found[0]
    return fit, pattern.sub(" ", rest)


def _size(text: str, rest: str) -> tuple[str, str]:
    """The size as the tables have it, and what is left of the text."""
    found = _SIZE.search(rest)
    if found is None:
        raise InputError.of(StandardsProblem.PIPE_SIZE_MISSING, written=text)
    nps, inches, _, dn = found.groups()
    size = f"DN{dn}" if dn else f"NPS {(nps or inches).replace('-', ' ')}"
    return size, f"{rest[: found.start()]} {rest[found.end() :]}".replace("pipe", " ")


def _wall(text: str, rest: str) -> tuple[str, float | None]:
    """The schedule, or the wall in mm, as far as one is written."""
    found = _SCHEDULE.search(rest)
    schedule = ""
    if found:
        number, name = found.groups()
        schedule = name.upper() if name else f"Sch {number.replace(' ', '').upper()}"
        rest = f"{rest[: found.start()]} {rest[found.end() :]}"
    left = rest.strip()
    if not left:
        return schedule, None
    length = _WALL.fullmatch(left)
    if length is None or schedule:
        raise InputError.of(StandardsProblem.PIPE_NOT_UNDERSTOOD, written=text, left=left)
    try:
        return "", parse_length(left, Unit.MM)
    except UnitError as wrong:
        raise InputError(*wrong.problems) from None


def _pipe(size: str, schedule: str, wall: float | None) -> _Pipe:
    """The pipe of a size, with the wall of its schedule or as written."""
    pipes = _pipes()
    sizes = (size, f"NPS {_NPS_OF_DN[dn]}") if (dn := _dn(size)) in _NPS_OF_DN and schedule else (size,)
    of_size = [pipe for pipe in pipes if pipe.size in sizes]
    if not of_size and (dn := _dn(size)) in _NPS_OF_DN:
        of_size = [pipe for pipe in pipes if pipe.size == f"NPS {_NPS_OF_DN[dn]}"]
    if not of_size:
        from difflib import get_close_matches

        known = tuple(dict.fromkeys(pipe.size for pipe in pipes if pipe.size.startswith(size[:2])))
        near = tuple(get_close_matches(size, known, n=3)) or known
        raise InputError.of(StandardsProblem.PIPE_SIZE_UNKNOWN, written=size, known=near)
    if not schedule:
        first = of_size[0]
        return _Pipe(first.standard, first.size, "", first.outside, wall, first.confidence)
    of_schedule = [pipe for pipe in of_size if pipe.schedule == schedule]
    if not of_schedule:
        known = _schedules(size)
        raise InputError.of(StandardsProblem.PIPE_SCHEDULE_UNKNOWN, written=schedule, size=size, known=known)
    return of_schedule[0]


def _dn(size: str) -> int:
    return int(size[2:]) if size.startswith("DN") else 0


def _schedules(size: str) -> tuple[str, ...]:
    """The schedules of a size."""
    nps = f"NPS {_NPS_OF_DN.get(_dn(size), '')}" if size.startswith("DN") else size
    return tuple(pipe.schedule for pipe in _pipes() if pipe.size == nps and pipe.schedule)


def _slip_on(pipe: _Pipe) -> PipeBore:
    """The published bore for the pipe's size, where the pipe is the one that it is meant for."""
    nps = f"NPS {_NPS_OF_DN.get(_dn(pipe.size), '')}" if pipe.size.startswith("DN") else pipe.size
    row = next((each.cells for each in shipped("pipes", "slip_on_bores.csv").rows if each.cells["size"] == nps), None)
    if row is None:
        raise InputError.of(StandardsProblem.SLIP_ON_UNKNOWN, size=pipe.size)
    bore, plus = to_mm(float(row["bore_in"]), Unit.IN), to_mm(float(row["plus_in"]), Unit.IN)
    meant = next(each.outside for each in _pipes() if each.size == nps)
    if abs(pipe.outside - meant) > _SAME_PIPE:
        raise InputError.of(StandardsProblem.SLIP_ON_UNKNOWN, size=pipe.size)
    sure = Confidence(row["confidence"])
    named = (pipe.standard, pipe.confidence, bore, plus, sure)
    return PipeBore(PipeFit.SLIP_ON, pipe.size, pipe.schedule, pipe.outside, pipe.wall, *named)


def _pipes() -> tuple[_Pipe, ...]:
    """Every row of the pipe table."""
    return tuple(_row(each.cells) for each in shipped("pipes", "pipe_schedules.csv").rows)


def _row(cells: dict[str, str]) -> _Pipe:
    """A row; inches win over their rounded mm where both are printed."""
    inches = bool(cells["od_in"])
    outside = to_mm(float(cells["od_in"]), Unit.IN) if inches else float(cells["od_mm"])
    wall = to_mm(float(cells["wall_in"]), Unit.IN) if cells["wall_in"] else None
    if wall is None and cells["wall_mm"]:
        wall = float(cells["wall_mm"])
    sure = Confidence(cells["confidence"])
    return _Pipe(cells["standard"], cells["size"], cells["schedule"], outside, wall, sure)
