"""Packets made on several cores. The processes only compute; whoever asked writes the files."""

from collections.abc import Generator, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.batch.processes import begin_apart, beginning, unheard
from flangelayout.errors import FlangeLayoutError, fault_line
from flangelayout.files.store import NotOverwrittenError, Refusal
from flangelayout.job import Job
from flangelayout.packet.job import Part, build_packet, preview_packet

if TYPE_CHECKING:
    from concurrent.futures import Future

_AHEAD = 4
"""Jobs handed out for each core, so that none waits and few packets are held at once."""


class Failure(Struct, frozen=True):
    """Why a job could not be made.

    Attributes:
        lines: The reasons, one line each.
        refusals: What was left alone, for whoever knows what to type then.
        is_fault: Whether this program failed, and not the job.
    """

    lines: tuple[str, ...]
    refusals: tuple[Refusal, ...] = ()
    is_fault: bool = False


Made = dict[str, bytes] | Failure


def make_one(job: Job, parts: tuple[Part, ...], preview: bool, by_use: bool) -> Made:
    """The packet of a job, or why there is none: a fault in one job must not stop the others."""
    try:
        packet = build_packet(job, parts, by_use)
        return packet | (preview_packet(packet) if preview else {})
    except Exception as problem:
        return failure_of(problem)


def failure_of(problem: Exception, label: str = "") -> Failure:
    """What went wrong with one job, in words; a fault of this program, too, must not stop the others.

    Args:
        problem: What was raised.
        label: What a line begins with that does not say which job it is of.
    """
    match problem:
        case NotOverwrittenError():
            return Failure((), problem.refusals)
        case FlangeLayoutError():
            return Failure(tuple(labeled(line, label) for line in problem.lines()))
    return Failure((labeled(fault_line(problem), label),), is_fault=True)


def labeled(line: str, label: str) -> str:
    """A line that says which job it is of."""
    return line if line.startswith(label) else f"{label}: {line}"


def make_all(
    jobs: Sequence[Job], parts: tuple[Part, ...], preview: bool, cores: int, by_use: bool = False
) -> Generator[dict[int, Made], None, None]:
    """Packets by the index of their job, as they are finished, several at a time.

    Args:
        jobs: Checked jobs.
        parts: What to make.
        preview: Whether to picture the pages.
        cores: How many processes; one job or one core stays in this one.
        by_use: Whether the files go into the folders of their use.
    """
    if min(cores, len(jobs)) < 2:
        for index, job in enumerate(jobs):
            yield {index: make_one(job, parts, preview, by_use)}
        return
    from concurrent.futures import FIRST_COMPLETED, ProcessPoolExecutor, wait
    from concurrent.futures.process import BrokenProcessPool

    pool = ProcessPoolExecutor(min(cores, len(jobs)), mp_context=beginning(), initializer=begin_apart)
    waiting: dict[Future[Made], int] = {}
    rest = iter(enumerate(jobs))
    unmade = set(range(len(jobs)))
    try:
        while unmade:
            with unheard():
                for index, job in islice(rest, _AHEAD * cores - len(waiting)):
                    waiting[pool.submit(make_one, job, parts, preview, by_use)] = index
            finished, _ = wait(waiting, return_when=FIRST_COMPLETED)
            made = {waiting[each]: each.result() for each in finished}
            waiting = {each: index for each, index in waiting.items() if each not in finished}
            unmade -= made.keys()
            yield dict(sorted(made.items()))
    except BrokenProcessPool:
        lost = Failure(("the process that drew it was ended from outside; draw it again",))
        yield dict.fromkeys(sorted(unmade), lost)
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
