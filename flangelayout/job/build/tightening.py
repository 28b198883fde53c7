"""What a circle states of how tight its bolts are: all that a torque takes, or what is missing of it."""

from collections.abc import Iterator

from flangelayout.errors import Problem
from flangelayout.flange.drilling import Tightening
from flangelayout.job.schema.job_file import BoltCircleTable
from flangelayout.problems.job import JobProblem
from flangelayout.standards.bolts import known_bolt
from flangelayout.standards.joints.tightening import strength_classes, strength_of

_KEYS = ("nut_factor", "lubrication", "bolt_load")


def tightening_of(table: BoltCircleTable, bolt: str) -> Tightening | None:
    """How tight the bolts of a circle are; ``None`` where the job does not state all of it.

    Args:
        table: The circle's keys.
        bolt: As written or from the standard; its own strength class counts where the key is left out.
    """
    bolt_class = _class(table, bolt)
    if not bolt_class or table.nut_factor is None or not table.lubrication or table.bolt_load is None:
        return None
    return Tightening(bolt_class, table.nut_factor, table.lubrication, table.bolt_load)


def tightening_problems(table: BoltCircleTable, where: str, bolt: str) -> Iterator[Problem]:
    """What is missing beside keys of a torque, and a class that no table has."""
    written = [key for key in _KEYS if getattr(table, key) is not None]
    missing = [key for key in _KEYS if getattr(table, key) is None]
    if not _class(table, bolt):
        missing.append("bolt_class")
    if written and missing:
        yield Problem(f"{where}.{written[0]}", JobProblem.TIGHTENING_INCOMPLETE, missing=tuple(missing))
    if not table.bolt_class:
        return
    known = known_bolt(bolt or table.thread or "")
    if known is not None and strength_of(table.bolt_class, known.diameter) is None:
        choices = strength_classes()[:12]
        yield Problem(f"{where}.bolt_class", JobProblem.NO_SUCH_BOLT_CLASS, written=table.bolt_class, choices=choices)


def _class(table: BoltCircleTable, bolt: str) -> str:
    """The strength class as its key or the bolt itself says."""
    known = known_bolt(bolt) if bolt else None
    return table.bolt_class or (known.grade if known else "")
