"""Runs the page on this computer only."""

import contextlib
import os
import socket
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path
from typing import Any

from flangelayout.errors import OutputError
from flangelayout.problems.page import PageProblem
from flangelayout.web.serving.jobs_folder import JobsFolder

LOOPBACK = "127.0.0.1"
USUAL_PORT = 8321
_WAITING = 512
"""Connections that may wait, from the moment the address is told."""
_SETTINGS: dict[str, Any] = {
    "http": "h11",
    "ws": "none",
    "loop": "asyncio",
    "lifespan": "off",
    "log_level": "warning",
    "access_log": False,
    "server_header": False,
    "proxy_headers": False,
    "h11_max_incomplete_event_size": 131_072,
    "timeout_keep_alive": 15,
    "timeout_graceful_shutdown": 3,
}
"""How the page is served: nothing in the log but warnings, nothing told about the server."""


def serve(
    port: int | None, folder: Path | None, show_browser: bool, tell: Callable[[str], None], usual: int = USUAL_PORT
) -> None:
    """Answer on the loopback address until stopped by Ctrl-C.

    Args:
        port: The port to use; ``None`` takes the usual one, or any free one where that is taken.
        folder: Where jobs may be saved; ``None`` for nowhere.
        show_browser: Whether the page is opened in the browser.
        tell: Takes the lines to print.
        usual: The usual port.

    Raises:
        OutputError: If the port asked for is taken, or the folder cannot be made.
        InputError: If this user's shop file cannot be used.
    """
    import uvicorn

    from flangelayout.job.shop import load_shop
    from flangelayout.web.serving.app import create_app

    jobs, shop = _jobs_folder(folder), load_shop()
    with bound(port, usual) as listening:
        listening.listen(_WAITING)
        at = listening.getsockname()[1]
        address = f"http://{LOOPBACK}:{at}/"
        app = create_app((f"{LOOPBACK}:{at}", f"localhost:{at}"), jobs, shop)
        config = uvicorn.Config(app, **_SETTINGS)
        tell(f"flangelayout is at {address} (on this computer only); Ctrl-C stops it")
        if jobs is not None:
            tell(f"jobs are saved in {jobs.folder}")
        if show_browser:
            threading.Timer(0.5, webbrowser.open, (address,)).start()
        with contextlib.suppress(KeyboardInterrupt):
            uvicorn.Server(config).run(sockets=[listening])


def _jobs_folder(folder: Path | None) -> JobsFolder | None:
    if folder is None:
        return None
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise OutputError.of(PageProblem.FOLDER_UNUSABLE, folder=str(folder), reason=reason) from None
    return JobsFolder(folder.resolve())


def bound(port: int | None, usual: int) -> socket.socket:
    """A socket bound to the loopback address: at a port, else at the usual one, else at any that is free.

    Raises:
        OutputError: If the port asked for cannot be used.
    """
    if port is None:
        try:
            return _socket(usual)
        except OSError:
            return _socket(0)
    try:
        return _socket(port)
    except (OSError, OverflowError) as problem:
        reason = getattr(problem, "strerror", None) or str(problem)
        raise OutputError.of(PageProblem.PORT_UNUSABLE, port=port, reason=reason) from None


def _socket(port: int) -> socket.socket:
    opened = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name == "posix":  # elsewhere the option would let two programs share the port
        opened.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        opened.bind((LOOPBACK, port))
    except BaseException:
        opened.close()
        raise
    return opened
