"""What a shop has drilled before: the bolt circles of the jobs of a folder, as rows to look among."""

from collections.abc import Iterator
from pathlib import Path

from msgspec import Struct

from flangelayout.errors import FlangeLayoutError
from flangelayout.flange import BoltCircle, RoundOutline
from flangelayout.job.job import Job
from flangelayout.job.load import load_job
from flangelayout.job.shop import NO_SHOP, Shop
from flangelayout.provenance import Confidence, Family
from flangelayout.standards.pattern import NOT_STATED, Pattern

_STANDARD = "past job"


class PastJobs(Struct, frozen=True):
    """The jobs of a folder.

    Attributes:
        patterns: Their equally spaced bolt circles, in order of the files' names.
        unread: Job files that could not be read.
    """

    patterns: tuple[Pattern, ...]
    unread: tuple[Path, ...]


def past_jobs(folder: Path, shop: Shop = NO_SHOP) -> PastJobs:
    """The bolt circles of every job file of a folder, not of the folders in it.

    Args:
        folder: Where they are; one that is not there has none.
        shop: What the shop always writes the same.
    """
    patterns: list[Pattern] = []
    unread: list[Path] = []
    for path in sorted(folder.glob("*.toml")):
        try:
            patterns += _patterns(load_job(path, shop), path)
        except FlangeLayoutError:
            unread.append(path)
    return PastJobs(tuple(patterns), tuple(unread))


def _patterns(job: Job, path: Path) -> Iterator[Pattern]:
    """The rows of a job: one for each bolt circle whose holes are evenly spaced and all there."""
    circles = job.flange.bolt_circles
    for group, circle in enumerate(circles):
        if circle.equally_spaced and not circle.skipped and circle.hole_count > 1:
            letter = job.flange.group_letter(group)
            yield _pattern(job, circle, f"{job.info.number} circle {letter}" if letter else job.info.number, path)


def _pattern(job: Job, circle: BoltCircle, name: str, path: Path) -> Pattern:
    outline = job.flange.outline
    return Pattern(
        standard=_STANDARD,
        edition=NOT_STATED,
        family=Family.PAST_JOB,
        grade="",
        size=name,
        designation=name,
        bolt_circle=circle.diameter,
        hole_count=circle.hole_count,
        unit=job.unit,
        confidence=Confidence.ONE_SOURCE,
        sources=str(path),
        hole_diameter=None if circle.is_tapped else circle.hole_diameter,
        outside_diameter=outline.outside_diameter if isinstance(outline, RoundOutline) else None,
        bore=job.flange.bore,
        bolt=circle.drilling.bolt or None,
        tapped=circle.is_tapped,
        note=job.info.title,
    )
