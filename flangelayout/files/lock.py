"""One run at a time in a folder: a file that the system holds for whoever has it, and lets go when that run ends."""

import contextlib
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path

LOCK_NAME = "lock"
_PATIENCE = 60.0
_PAUSE = 0.01


@contextlib.contextmanager
def locked(folder: Path, patience: float = _PATIENCE) -> Iterator[None]:
    """Hold a folder, which is made for it; nothing of the lock stays behind, nor of the folder if that is empty.

    Args:
        folder: Its own folder, in which nobody else keeps anything.
        patience: For how many seconds to wait for another run.

    Raises:
        OSError: If the folder cannot be made, or another run does not let go of it.
    """
    try:
        handle = _wait(folder, time.monotonic() + patience)
        try:
            yield
        finally:
            with contextlib.suppress(OSError):  # where an open file cannot be taken away it stays, and does no harm
                (folder / LOCK_NAME).unlink()
            os.close(handle)
    finally:
        with contextlib.suppress(OSError):
            folder.rmdir()


def _wait(folder: Path, deadline: float) -> int:
    """The open lock file, held."""
    while True:
        handle = _opened(folder)
        if handle is not None:
            if _take(handle) and _is_still_there(folder / LOCK_NAME, handle):
                return handle
            os.close(handle)
        if time.monotonic() > deadline:
            raise TimeoutError(None, "another run has been writing there for a minute; let it end first", str(folder))
        time.sleep(_PAUSE)


def _opened(folder: Path) -> int | None:
    """The lock file, open; ``None`` where the folder was taken away in between."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        return os.open(folder / LOCK_NAME, os.O_RDWR | os.O_CREAT, 0o666)
    except FileNotFoundError:
        return None
    except FileExistsError:  # it stood there, and was gone when mkdir looked whether it is a folder
        if folder.is_dir() or not folder.exists():
            return None
        raise
    except PermissionError:
        if sys.platform == "win32":  # it is being taken away
            return None
        raise


def _take(handle: int) -> bool:
    """Whether nobody else held it; from then on this run does."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    return True


def _is_still_there(path: Path, handle: int) -> bool:
    """Whether a lock that was waited for is still the one that others find."""
    try:
        return os.path.samestat(path.stat(), os.fstat(handle))
    except OSError:
        return False
