"""What a check found of a job's own readings, as values."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ReadAgain:
    """A written circle against what the job's readings say; ``band`` is theirs, plus and minus in mm."""

    band: float


@dataclass(frozen=True, slots=True)
class ReadingsFixNothing:
    """Readings of a job that fix no circle."""


@dataclass(frozen=True, slots=True)
class PickedAmong:
    """A row named although the job's readings fit ``others`` as well, each by one of its names."""

    designation: str
    others: tuple[str, ...]
