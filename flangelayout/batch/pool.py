"""Packets made on several cores. The processes only compute; whoever asked writes the files."""

import contextlib
import gc
import os
import signal
import threading
from collections.abc import Generator, Iterator, Sequence
from itertools import islice
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.errors import FlangeLayoutError, fault_line
from flangelayout.files.store import NotOverwrittenError, Refusal
from flangelayout.job import Job
from flangelayout.packet.job import Part, build_packet, preview_packet

if TYPE_CHECKING:
    from concurrent.futures import Future
    from multiprocessing.context import BaseContext

_AHEAD = 4
"""Jobs handed out for each core, so that none waits and few packets are held at once."""
_COPIED = "forkserver"
"""Where a system can, processes are copies of one that has loaded what packets are made with and has no threads."""
_PRELOADED = (
    *("encodings.cp1252", "encodings.utf_8_sig", "encodings.utf_16_be", "ezdxf.document", "numpy.ma"),
    *("reportlab.lib.fonts", "reportlab.pdfbase.ttfonts", "reportlab.pdfgen.canvas", "segno", "svgwrite"),
    *("flangelayout.batch.pool", "flangelayout.cli", "flangelayout.views.cut.finished"),
    *("flangelayout.views.sheet.sheet", "flangelayout.views.template.pages", "flangelayout.views.words.findings"),
    *("flangelayout.views.words.parts", "flangelayout.writers.csv_table", "flangelayout.writers.formats"),
    *("flangelayout.writers.dxf.cut", "flangelayout.writers.dxf.dimensions", "flangelayout.writers.dxf.sheet"),
)
"""What the first packet would load, and the command line, which every process has as its beginning."""


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


def begin_loading() -> None:
    """Have the process that others are copied from load, while this one reads the jobs."""
    if _processes().get_start_method() == _COPIED:
        from multiprocessing import forkserver

        with _unheard():
            forkserver.ensure_running()


def _processes() -> "BaseContext":
    """How processes begin here: as copies where the system can, loaded with what packets are made with."""
    import multiprocessing

    if _COPIED not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context(_COPIED)
    context.set_forkserver_preload(list(_PRELOADED))
    return context


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

    pool = ProcessPoolExecutor(min(cores, len(jobs)), mp_context=_processes(), initializer=begin_apart)
    waiting: dict[Future[Made], int] = {}
    rest = iter(enumerate(jobs))
    unmade = set(range(len(jobs)))
    try:
        while unmade:
            with _unheard():
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
    """Begin a process that only computes: leave Ctrl-C to the process that asked, and end with it however it ends.

    What it was copied with is kept until then, so that no search for what nobody needs goes through it.
    """
    gc.freeze()
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    import multiprocessing

    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
