"""The page for tests: in this process, as a program of its own, and in a real browser."""

import asyncio
import contextlib
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, MutableMapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote, urlencode

import pytest
from starlette.types import ASGIApp

from flangelayout.job.shop import NO_SHOP, Shop
from flangelayout.web.serving.app import create_app
from flangelayout.web.serving.jobs_folder import JobsFolder

HOST = "127.0.0.1:8321"
CHROMIUM = ("/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome")
BROWSER_ARGUMENTS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

RING = {
    "units": "mm",
    "job.number": "H-114",
    "job.title": "Intake ring",
    "plate.outside_diameter": "285",
    "plate.bore": "170.5",
    "plate.thickness": "22",
    "bolt_circle.1.diameter": "240",
    "bolt_circle.1.hole_count": "8",
    "bolt_circle.1.hole_diameter": "22",
}
"""The 8-hole job of the tests, as the fields of the page send it."""


def query(fields: dict[str, str] | None = None, /, **more: str) -> str:
    """The query of some fields; names in ``more`` write a dot as two underscores."""
    extra = {name.replace("__", "."): text for name, text in more.items()}
    return urlencode({**(RING if fields is None else fields), **extra}, quote_via=quote)


@dataclass(frozen=True, slots=True)
class Answer:
    """What the page answered."""

    status: int
    headers: dict[str, str]
    content: bytes

    @property
    def text(self) -> str:
        """The content as text."""
        return self.content.decode("utf-8")

    @property
    def json(self) -> dict[str, str]:
        """The content as JSON."""
        found: dict[str, str] = json.loads(self.content)
        return found


@dataclass(frozen=True, slots=True)
class Client:
    """Asks the page in this process, header by header as a browser would, without any network.

    Its loop runs in a thread of its own, because a browser that is open keeps one in the main thread.
    """

    app: ASGIApp
    peer: str = "127.0.0.1"
    runner: asyncio.Runner = field(default_factory=asyncio.Runner)
    thread: ThreadPoolExecutor = field(default_factory=lambda: ThreadPoolExecutor(1))

    def get(self, target: str, **headers: str) -> Answer:
        """The answer to a GET; names of headers write a hyphen as an underscore."""
        return self.ask("GET", target, headers)

    def post(self, target: str, body: bytes, **headers: str) -> Answer:
        """The answer to a POST from the page itself."""
        return self.ask("POST", target, {"origin": f"http://{HOST}", **headers}, body)

    def ask(self, method: str, target: str, headers: dict[str, str] | None = None, body: bytes = b"") -> Answer:
        """The answer to any request; ``target`` is what stands in the request line."""
        path, _, query_string = target.partition("?")
        named = {"host": HOST, **(headers or {})}
        scope = {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": method,
            "scheme": "http",
            "path": unquote(path),
            "raw_path": path.encode("latin-1", "replace"),
            "query_string": query_string.encode("latin-1", "replace"),
            "root_path": "",
            "headers": [
                (k.replace("_", "-").lower().encode(), v.encode("latin-1", "replace")) for k, v in named.items()
            ],
            "client": (self.peer, 50_000),
            "server": ("127.0.0.1", 8321),
        }
        return self.thread.submit(lambda: self.runner.run(_answer(self.app, scope, body))).result()

    def close(self) -> None:
        """End the loop and its thread."""
        self.thread.submit(self.runner.close).result()
        self.thread.shutdown()


async def _answer(app: ASGIApp, scope: MutableMapping[str, Any], body: bytes) -> Answer:
    messages: list[MutableMapping[str, Any]] = []
    parts = [body[at : at + 65_536] for at in range(0, len(body), 65_536)] or [b""]

    async def receive() -> MutableMapping[str, Any]:
        part = parts.pop(0) if parts else b""
        return {"type": "http.request", "body": part, "more_body": bool(parts)}

    async def send(message: MutableMapping[str, Any]) -> None:
        messages.append(message)

    await app(scope, receive, send)
    start, *rest = messages
    headers = {name.decode("latin-1"): text.decode("latin-1") for name, text in start["headers"]}
    return Answer(start["status"], headers, b"".join(message.get("body", b"") for message in rest))


@contextlib.contextmanager
def client(folder: Path | None = None, shop: Shop = NO_SHOP) -> Iterator[Client]:
    """A client of a page in this process, under the address a browser would use."""
    asking = Client(create_app((HOST, "localhost:8321"), JobsFolder(folder) if folder else None, shop))
    try:
        yield asking
    finally:
        asking.close()


@dataclass(frozen=True, slots=True)
class Program:
    """A page that runs as a program of its own."""

    address: str
    process: "subprocess.Popen[str]"

    def memory(self) -> int:
        """Its resident memory in bytes; 0 where the system does not tell."""
        try:
            text = Path(f"/proc/{self.process.pid}/status").read_text(encoding="ascii")
        except OSError:
            return 0
        match = re.search(r"VmRSS:\s+(\d+) kB", text)
        return int(match[1]) * 1024 if match else 0


@contextlib.contextmanager
def program(*arguments: str) -> Iterator[Program]:
    """``flangelayout serve`` on a free port until the block ends."""
    command = [sys.executable, "-m", "flangelayout", "serve", "--no-browser", "--port", str(free_port()), *arguments]
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=environment
    ) as process:
        try:
            assert process.stdout is not None
            line = process.stdout.readline()
            found = re.search(r"http://127\.0\.0\.1:\d+/", line)
            assert found, f"the page did not start: {line}{process.stdout.read()}"
            yield Program(found[0], process)
        finally:
            process.terminate()
            process.wait(timeout=20)


def free_port() -> int:
    """A port that nothing listens on at the moment."""
    import socket

    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
    return port


def need(found: object, what: str) -> None:
    """Skip the test where something is missing on this machine; on a build machine, fail it."""
    if found:
        return
    if os.environ.get("CI") == "true":
        pytest.fail(f"{what} is missing, and a build machine must have it")
    pytest.skip(f"{what} is missing on this machine")


def browser_path() -> str:
    """Where the browser of the system is; skips or fails the test where there is none."""
    try:
        import playwright.sync_api  # noqa: F401  only asked whether it is there
    except ImportError:
        need(None, "playwright (pip install playwright)")
    path = next((path for path in CHROMIUM if Path(path).exists()), None) or shutil.which("chromium")
    need(path, "Chromium (apt-get install chromium)")
    return str(path)


def axe_script() -> Path:
    """The accessibility checker that the environment names; skips or fails the test where there is none."""
    path = Path(os.environ.get("AXE_CORE", ""))
    need(path.is_file(), "axe-core (npm install axe-core, and AXE_CORE set to its axe.min.js)")
    return path
