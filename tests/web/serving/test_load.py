"""Many people at once: every one gets an answer, and nobody another's job."""

import asyncio
import random
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field

import pytest

from web.served import program, query

CLIENTS = 50


@dataclass
class Seen:
    """What all clients saw."""

    answers: Counter[int] = field(default_factory=Counter)
    mixed_up: list[str] = field(default_factory=list)


async def ask(port: int, target: str) -> tuple[int, str]:
    """Status and text of one request on a connection of its own."""
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    try:
        writer.write(f"GET {target} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n".encode())
        await writer.drain()
        head, _, body = (await reader.read()).partition(b"\r\n\r\n")
    finally:
        writer.close()
    return int(head.split(b" ", 2)[1]), body.decode("utf-8")


async def one_client(number: int, port: int, end: float, seen: Seen, paths: tuple[str, ...]) -> None:
    """Change values until the time is over; each answer must show this client's number and value."""
    random_ = random.Random(number)
    while time.monotonic() < end:
        diameter = f"2{random_.randrange(40, 56)}.{number:02d}7"
        fields = query(job__number=f"C-{number:02d}-X", bolt_circle__1__diameter=diameter)
        status, text = await ask(port, f"{random_.choice(paths)}?{fields}")
        seen.answers[status] += 1
        others = [f"C-{other:02d}-X" for other in range(CLIENTS) if other != number]
        if f"C-{number:02d}-X" not in text or diameter not in text or any(other in text for other in others):
            seen.mixed_up.append(fields)


async def all_clients(port: int, seconds: float, seen: Seen, paths: tuple[str, ...]) -> None:
    end = time.monotonic() + seconds
    await asyncio.gather(*(one_client(number, port, end, seen, paths) for number in range(CLIENTS)))


def crowd(address: str, seconds: float, paths: tuple[str, ...] = ("/live",)) -> Seen:
    seen = Seen()
    port = int(address.rsplit(":", 1)[1].strip("/"))
    with ThreadPoolExecutor(1) as thread:  # a browser that is open keeps a loop in the main thread
        thread.submit(lambda: asyncio.run(all_clients(port, seconds, seen, paths))).result()
    return seen


@pytest.mark.slow
def test_fifty_clients_at_once_each_get_their_own_job(address: str) -> None:
    seen = crowd(address, 1.0, ("/live", *["/job.toml"] * 5))
    assert set(seen.answers) == {200}
    assert sum(seen.answers.values()) >= CLIENTS
    assert seen.mixed_up == []


@pytest.mark.property_deep
def test_fifty_clients_for_half_a_minute_leave_the_memory_flat() -> None:
    with program() as running:
        warm = crowd(running.address, 10.0)
        before = running.memory()
        seen = crowd(running.address, 30.0)
        after = running.memory()
    assert set(warm.answers + seen.answers) == {200}
    assert warm.mixed_up + seen.mixed_up == []
    assert after <= before * 1.1 + 2_000_000
