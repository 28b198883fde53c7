"""Packets made on several cores. The processes only compute; whoever asked writes the files."""

import contextlib
import os
import signal
import threading
from collections.abc import Iterator, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.errors import FlangeLayoutError, fault_line
from flangelayout.files.store import NotOverwrittenError, Refusal
from flangelayout.flange import BoltCircle, Flange, RoundOutline
from flangelayout.job import Job
from flangelayout.packet.job import Part, build_packet, draw_flange, preview_packet

if TYPE_CHECKING:
    from concurrent.futures import Future, ProcessPoolExecutor

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


def usable_cores() -> int:
    """How many processes can run at once."""
    with contextlib.suppress(AttributeError):  # not every system tells which cores a process may use
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


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


class Makers:
    """Processes that make packets; begun early they load what they draw with while jobs are still read.

    To be entered; on leaving they end, whatever they are at.

    Args:
        cores: How many processes; with one all is made in this one.
    """

    def __init__(self, cores: int) -> None:
        """None is started."""
        self._cores = cores
        self._pool: ProcessPoolExecutor | None = None

    def __enter__(self) -> "Makers":
        """Nothing is begun."""
        return self

    def __exit__(self, *_problem: object) -> None:
        """End the processes."""
        if self._pool:
            self._pool.shutdown(wait=True, cancel_futures=True)

    def begin(self) -> None:
        """Start the processes, where there are to be several; each makes a small packet that nobody sees."""
        if self._cores < 2 or self._pool:
            return
        import multiprocessing
        from concurrent.futures import ProcessPoolExecutor

        self._pool = ProcessPoolExecutor(
            self._cores, mp_context=multiprocessing.get_context("spawn"), initializer=begin_apart
        )
        with _unheard():
            for _ in range(self._cores):
                self._pool.submit(_load)

    def make(
        self, jobs: Sequence[Job], parts: tuple[Part, ...], preview: bool, by_use: bool
    ) -> Iterator[dict[int, Made]]:
        """Packets by the index of their job, as they are finished, several at a time.

        Args:
            jobs: Checked jobs; one alone is made in this process.
            parts: What to make.
            preview: Whether to picture the pages.
            by_use: Whether the files go into the folders of their use.
        """
        if len(jobs) > 1:
            self.begin()
        if self._pool is None or len(jobs) < 2:
            for index, job in enumerate(jobs):
                yield {index: make_one(job, parts, preview, by_use)}
            return
        from concurrent.futures import FIRST_COMPLETED, wait
        from concurrent.futures.process import BrokenProcessPool

        waiting: dict[Future[Made], int] = {}
        rest = iter(enumerate(jobs))
        unmade = set(range(len(jobs)))
        try:
            while unmade:
                with _unheard():
                    for index, job in islice(rest, _AHEAD * self._cores - len(waiting)):
                        waiting[self._pool.submit(make_one, job, parts, preview, by_use)] = index
                finished, _ = wait(waiting, return_when=FIRST_COMPLETED)
                made = {waiting[each]: each.result() for each in finished}
                waiting = {each: index for each, index in waiting.items() if each not in finished}
                unmade -= made.keys()
                yield dict(sorted(made.items()))
        except BrokenProcessPool:
            lost = Failure(("the process that drew it was ended from outside; draw it again",))
            yield dict.fromkeys(sorted(unmade), lost)


def _load() -> None:
    """Load what packets are made with, by making one."""
    draw_flange(Flange(RoundOutline(60.0), (BoltCircle(40.0, 4, 6.0),), thickness=6.0), "-")


@contextlib.contextmanager
def _unheard() -> Iterator[None]:
    """Ctrl-C waits until the end; a process that is started meanwhile never hears it, not even while it starts."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def begin_apart() -> None:
    """Begin a process that only computes: leave Ctrl-C to the process that asked, and end with it however it ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    import multiprocessing

    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
