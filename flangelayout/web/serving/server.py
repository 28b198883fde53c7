"""Runs the page on this computer and, where that is asked for, for phones of its own network."""

import contextlib
import os
import socket
import threading
import webbrowser
from collections.abc import Callable
from ipaddress import IPv4Interface
from pathlib import Path
from typing import Any

from flangelayout.errors import OutputError
from flangelayout.problems.page import PageProblem
from flangelayout.web.serving.jobs_folder import JobsFolder
from flangelayout.web.serving.networks import private_addresses
from flangelayout.web.serving.phones import Phones

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
    port: int | None,
    folder: Path | None,
    show_browser: bool,
    tell: Callable[[str], None],
    usual: int = USUAL_PORT,
    lan: bool = False,
) -> None:
    """Answer on the loopback address, and on this network's private ones if asked to, until stopped by Ctrl-C.

    Args:
        port: The port to use; ``None`` takes the usual one, or any free one where that is taken.
        folder: Where jobs may be saved; ``None`` for nowhere.
        show_browser: Whether the page is opened in the browser.
        tell: Takes the lines to print.
        usual: The usual port.
        lan: Whether phones of this computer's own network may be let in.

    Raises:
        OutputError: If the port asked for is taken, the folder cannot be made, or there is no private network.
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
        phones = Phones(_own_addresses(), at) if lan else None
        app = create_app((f"{LOOPBACK}:{at}", f"localhost:{at}"), jobs, shop, phones)
        config = uvicorn.Config(app, **_SETTINGS)
        near = [_listening(str(each.ip), at) for each in phones.own] if phones else []
        _tell_of_page(address, phones, jobs, tell)
        if show_browser:
            threading.Timer(0.5, webbrowser.open, (address,)).start()
        with contextlib.suppress(KeyboardInterrupt):
            uvicorn.Server(config).run(sockets=[listening, *near])


def _tell_of_page(address: str, phones: Phones | None, jobs: JobsFolder | None, tell: Callable[[str], None]) -> None:
    who = "on this computer, and for phones that you let in" if phones else "on this computer only"
    tell(f"flangelayout is at {address} ({who}); Ctrl-C stops it")
    if phones is not None:
        _tell_of_phones(phones, tell)
    if jobs is not None:
        tell(f"jobs are saved in {jobs.folder}")


def _own_addresses() -> tuple[IPv4Interface, ...]:
    found = private_addresses()
    if not found:
        raise OutputError.of(PageProblem.NO_PRIVATE_NETWORK)
    return found


def _listening(address: str, port: int) -> socket.socket:
    try:
        opened = _socket(port, address)
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise OutputError.of(PageProblem.PORT_UNUSABLE, port=port, reason=reason) from None
    opened.listen(_WAITING)
    return opened


def _tell_of_phones(phones: Phones, tell: Callable[[str], None]) -> None:
    """The code to scan, and plainly what it means."""
    tell(phones.in_letters())
    tell(f"one phone of this network may scan this, or open {phones.address}")
    tell("it then sees and changes what the page can, unencrypted: use it in a network you trust")
    tell("the page shows the code for the next phone, who is in, and sends them away")


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


def _socket(port: int, address: str = LOOPBACK) -> socket.socket:
    opened = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name == "posix":  # elsewhere the option would let two programs share the port
        opened.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        opened.bind((address, port))
    except BaseException:
        opened.close()
        raise
    return opened
