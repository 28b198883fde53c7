"""What takes long, made in a process of its own: it ends as soon as nobody waits for it any more."""

import asyncio
import multiprocessing
import re
from collections.abc import Callable
from multiprocessing.connection import Connection
from threading import BoundedSemaphore
from typing import TypeVar, cast

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request

from flangelayout.batch.processes import begin_apart

_LOOK = 0.1
"""Seconds between two looks at the process and at who waits for it."""
_RUN = re.compile(r"[0-9a-f]{16,40}")
_T = TypeVar("_T")

Tell = Callable[[str], None]
"""Takes how far the work is, in words."""


class NobodyWaitsError(Exception):
    """Whoever asked has gone; there is nobody to answer."""


class Works:
    """Works under way, at most a few at a time, and how far each is."""

    def __init__(self, most: int) -> None:
        """Allow for ``most`` works at a time; the others wait for their turn."""
        self.turn = BoundedSemaphore(most)
        """For works that are done in a thread."""
        self._told: dict[str, str] = {}

    def told(self, run: str) -> str:
        """How far a work is that its page gave a name; empty where nothing is known of it."""
        return self._told.get(run, "")

    async def done(self, request: Request, work: Callable[[Tell], _T], apart: bool) -> _T:
        """What a work comes to.

        Args:
            request: Who asked; a page that wants to know how far it is names it in the header ``run``.
            work: What is to be done; one that is done apart and its arguments can be sent to another process.
            apart: Whether it takes long, so that it must end when nobody waits for it.

        Raises:
            NobodyWaitsError: If whoever asked has gone meanwhile.
            Exception: Whatever the work raised.
        """
        while not self.turn.acquire(blocking=False):
            await _wait(request)
        try:
            if not apart:
                return await run_in_threadpool(work, _nobody)
            return await self._apart(request, work)
        finally:
            self.turn.release()

    async def _apart(self, request: Request, work: Callable[[Tell], _T]) -> _T:
        named = request.headers.get("run", "")
        run = named if _RUN.fullmatch(named) else ""
        ours, theirs = multiprocessing.Pipe(duplex=False)
        process = multiprocessing.get_context("spawn").Process(target=_work, args=(theirs, work), daemon=True)
        process.start()
        theirs.close()
        try:
            while True:
                while not ours.poll():
                    await _wait(request)
                is_last, found = await run_in_threadpool(ours.recv)
                if is_last:
                    break
                if run:
                    self._told[run] = found
        finally:
            process.kill()
            process.join()
            ours.close()
            self._told.pop(run, None)
        if isinstance(found, Exception):
            raise found
        return cast("_T", found)


async def _wait(request: Request) -> None:
    if await request.is_disconnected():
        raise NobodyWaitsError
    await asyncio.sleep(_LOOK)


def _nobody(_words: str) -> None:
    """Nobody is told how far a short work is."""


def _work(pipe: Connection, work: Callable[[Tell], object]) -> None:
    """In the other process: do the work, say how far it is, and last of all what came of it."""
    begin_apart()
    try:
        found = work(lambda words: pipe.send((False, words)))
    except Exception as refused:
        found = refused
    pipe.send((True, found))
