"""How processes begin that make packets on other cores. Light to load: they load while the program itself does."""

import contextlib
import gc
import os
import signal
import threading
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from multiprocessing.context import BaseContext

_COPIED = "forkserver"
"""Where a system can, processes are copies of one that has loaded what packets are made with and has no threads."""
_COLLECT_AFTER = 200_000
"""New objects between two collections: what a packet is made of goes by itself, nearly all of it."""
_PRELOADED = (
    *("encodings.cp1252", "encodings.utf_8_sig", "encodings.utf_16_be", "ezdxf.document"),
    *("reportlab.lib.fonts", "reportlab.pdfbase.ttfonts", "reportlab.pdfgen.canvas", "segno", "svgwrite"),
    *("flangelayout.batch.pool", "flangelayout.cli", "flangelayout.views.cut.finished"),
    *("flangelayout.views.sheet.sheet", "flangelayout.views.template.pages", "flangelayout.views.words.findings"),
    *("flangelayout.views.words.parts", "flangelayout.writers.csv_table", "flangelayout.writers.formats"),
    *("flangelayout.writers.dxf.cut", "flangelayout.writers.dxf.dimensions", "flangelayout.writers.dxf.sheet"),
)
"""What the first packet would load, and the command line, which every process has as its beginning."""


def usable_cores() -> int:
    """How many processes can run at once."""
    with contextlib.suppress(AttributeError):  # not every system tells which cores a process may use
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def begin_loading() -> None:
    """Have the process that others are copied from load, while this one does so and reads the jobs."""
    if beginning().get_start_method() == _COPIED:
        from multiprocessing import forkserver

        with unheard():
            forkserver.ensure_running()


def beginning() -> "BaseContext":
    """How processes begin here: as copies where the system can, loaded with what packets are made with."""
    import multiprocessing

    if _COPIED not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context(_COPIED)
    context.set_forkserver_preload(list(_PRELOADED))
    return context


@contextlib.contextmanager
def unheard() -> Iterator[None]:
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
    gc.set_threshold(_COLLECT_AFTER)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    import multiprocessing

    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
