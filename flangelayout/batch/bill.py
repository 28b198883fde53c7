"""The bills of several jobs added up, a joint of two of them counted once."""

from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct

from flangelayout.drawing.model import TextTable
from flangelayout.flange import BoltCircle, Flange
from flangelayout.flange.joints import Mate, MateSource
from flangelayout.flange.joints.derived import GASKET_PARTS
from flangelayout.job import Job
from flangelayout.views.reports.office.quote import failed_lines
from flangelayout.views.words.bill import BillRow, bill_rows, left_out_notes, unlisted_notes
from flangelayout.views.words.lengths import Lengths


class Ordered(Struct, frozen=True):
    """One thing to order for all jobs of a list: how many in all, what, of which size, and which jobs it is for."""

    total: int
    row: BillRow
    unit: str
    jobs: tuple[str, ...]


def ordered(jobs: Sequence[Job]) -> tuple[Ordered, ...]:
    """Everything that a list of jobs takes: what is the same thing of the same size stands once, plates first."""
    joined, made = joined_circles(jobs), gaskets_made(jobs)
    found: dict[tuple[str, str, str, str], list[tuple[int, BillRow, str]]] = {}
    for index, job in enumerate(jobs):
        for row in bill_rows(job.flange, Lengths(job.unit), joined[index], job.info.number not in made):
            unit = row.unit.value if row.unit else ""
            key = (row.part, row.size, row.standard, unit)
            found.setdefault(key, []).append((row.each * job.info.quantity, row, job.info.number))
    rows = [
        Ordered(sum(total for total, *_ in same), same[0][1], key[3], tuple(dict.fromkeys(job for *_, job in same)))
        for key, same in found.items()
    ]
    return tuple(sorted(rows, key=lambda each: (not each.row.is_plate, each.row.part, each.unit)))


def twice_bolted(jobs: Sequence[Job]) -> tuple[tuple[str, str], ...]:
    """The numbers of blinds drilled as another plate of the list, where neither says whose the bolts are."""
    joined = joined_circles(jobs)
    open_ones = [(job, circle) for job, known in zip(jobs, joined, strict=True) for circle in _unsaid(job, known)]
    drilled = [(job, (circle.diameter, circle.hole_count, circle.hole_diameter)) for job, circle in open_ones]
    plates: dict[tuple[float, int, float], str] = {}
    for job, sizes in drilled:
        if not job.flange.is_blind:
            plates.setdefault(sizes, job.info.number)
    pairs = ((job.info.number, plates.get(sizes)) for job, sizes in drilled if job.flange.is_blind)
    return tuple(dict.fromkeys((blind, plate) for blind, plate in pairs if plate))


def _unsaid(job: Job, joined: frozenset[int]) -> Iterator[BoltCircle]:
    """The circles of a job whose bolts are in its bill, and that name no job as their mate."""
    named = {mate.group for mate in _of_jobs(job.flange)}
    for group, circle in enumerate(job.flange.bolt_circles):
        if group not in joined | named and circle.bolt.strip() and not circle.joint.bolts_with:
            yield circle


def gaskets_made(jobs: Sequence[Job]) -> frozenset[str]:
    """The numbers of jobs whose gasket is a job of the list, too: it stands there and is not ordered twice."""
    parents = (job.parent for job in jobs if job.parent is not None)
    return frozenset(parent.number for parent in parents if parent.part in GASKET_PARTS)


def joined_circles(jobs: Sequence[Job]) -> tuple[frozenset[int], ...]:
    """For each job the circles whose joint is in the bill of another job of the list, which names it as its mate."""
    numbers: dict[str, list[int]] = {}
    for index, job in enumerate(jobs):
        numbers.setdefault(job.info.number, []).append(index)
    joined: list[set[int]] = [set() for _ in jobs]
    for index, job in enumerate(jobs):
        for mate in _of_jobs(job.flange):
            others = [other for other in numbers.get(mate.called, []) if other != index]
            if others and mate.group not in joined[index]:
                for other in others:
                    joined[other] |= _bolted(jobs[other], mate)
    return tuple(frozenset(groups) for groups in joined)


def _of_jobs(flange: Flange) -> Iterable[Mate]:
    """The mates that are jobs and whose bolts are in the bill of this plate."""
    own = (mate for mate in flange.mates if mate.source is MateSource.JOB)
    return (mate for mate in own if not flange.bolt_circles[mate.group].joint.bolts_with)


def _bolted(job: Job, mate: Mate) -> set[int]:
    """The circles of a job that are those of a mate."""
    if mate.circle is None:
        return set()
    size = (mate.circle.diameter, mate.circle.hole_count)
    circles = enumerate(job.flange.bolt_circles)
    return {group for group, circle in circles if (circle.diameter, circle.hole_count) == size}


def left_out(jobs: Sequence[Job]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What the bill of a list may be thought to hold and does not, each with the numbers of the jobs it is said of.

    What says itself which jobs it is about has none.
    """
    said: dict[str, dict[str, None]] = {}
    made = gaskets_made(jobs)
    for job in jobs:
        for note in (*left_out_notes(job.flange), *unlisted_notes(job.flange, job.info.number not in made)):
            said.setdefault(note, {})[job.info.number] = None
    for blind, other in twice_bolted(jobs):
        told = f"{blind} is a blind drilled as {other}: bolted together, their joint is counted twice here"
        said[f'{told}; bolts_with = "{other}" in {blind} counts it once'] = {}
    return tuple((note, tuple(numbers)) for note, numbers in said.items())


def failed_checks(jobs: Sequence[Job]) -> tuple[tuple[str, str], ...]:
    """What the checks of jobs failed, each with the number of its job: what such a job needs may be another thing."""
    return tuple((line, job.info.number) for job in jobs for line in failed_lines(job.flange, job.failed, job.unit))


def bill_of_jobs(jobs: Sequence[Job], missing: Sequence[str] = ()) -> TextTable:
    """What :func:`ordered` finds, for a CSV file, and below it what is not in it.

    Args:
        jobs: Whose bill it is.
        missing: What the jobs are called that should be in it and could not be read.
    """
    rows = tuple(
        (
            str(number),
            str(each.total),
            each.row.part,
            each.row.size,
            each.row.standard,
            each.unit,
            ", ".join(each.jobs),
        )
        for number, each in enumerate(ordered(jobs), 1)
    )
    notes = [*failed_checks(jobs), *((note, ", ".join(numbers)) for note, numbers in left_out(jobs))]
    notes += [("This job could not be made: nothing of it is in the bill", name) for name in missing]
    below = (("", "", f"NOTE: {note.removesuffix('.')}", "", "", "", numbers) for note, numbers in notes)
    return TextTable("bill of material", ("item", "total", "part", "size", "standard", "unit", "jobs"), (*rows, *below))
