"""The page of a list: it is sent with everything that is asked of it, so nothing of it is kept here."""

import base64
import binascii
from functools import partial

from msgspec import Struct
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from flangelayout.errors import FlangeLayoutError, InputError
from flangelayout.job import Job
from flangelayout.job.shop import Shop
from flangelayout.packet.nest import NestPacket
from flangelayout.problems.page import PageProblem
from flangelayout.units import Unit
from flangelayout.web.content.files import archive
from flangelayout.web.content.job_list import (
    JobList,
    job_list,
    nest_shown,
    nests,
    packets,
    plate_texts,
    stock_of,
)
from flangelayout.web.form.limits import UPLOAD_BYTES
from flangelayout.web.serving.answers import body_of, download, in_words
from flangelayout.web.serving.multipart import form_parts
from flangelayout.web.serving.render import render
from flangelayout.web.serving.works import Works

_NAMED = "name"
_HELD = "list"


class SentList(Struct, frozen=True):
    """A list as it was sent: its name, its content, and what stands in the fields beside it."""

    name: str
    content: bytes
    written: dict[str, str]

    @property
    def unit(self) -> Unit | None:
        """What its bare lengths are in, where somebody said so."""
        return next((unit for unit in Unit if unit.value == self.written.get("units")), None)


def sent_list(content_type: str, body: bytes) -> SentList:
    """The list of a form: a file, or what the page holds of one that was sent before.

    Raises:
        InputError: If there is none, or it is too large.
    """
    parts = form_parts(content_type, body)
    written = {part.name: part.content.decode("utf-8", "replace") for part in parts if not part.file}
    file = next((part for part in parts if part.file and part.content), None)
    try:
        held = base64.b64decode(written.pop(_HELD, ""), validate=True)
    except (binascii.Error, ValueError):
        held = b""
    content = file.content if file else held
    if not content:
        raise InputError.of(PageProblem.NO_LIST)
    if len(content) > UPLOAD_BYTES:
        raise InputError.of(PageProblem.UPLOAD_TOO_LARGE, size=len(content), most=UPLOAD_BYTES)
    name = file.file if file else written.pop(_NAMED, "")
    return SentList(_file_name(name, content), content, written)


def _file_name(name: str, content: bytes) -> str:
    """The last part of a file's name, with the ending that its content has."""
    last = "".join(sign for sign in name.replace("\\", "/").rpartition("/")[2] if sign.isprintable())[:80]
    stem = last.rpartition(".")[0] or last or "list"
    return f"{stem}.{'xlsx' if content.startswith(b'PK') else 'csv'}"


class Lists:
    """The answers about lists."""

    def __init__(self, works: Works, shop: Shop) -> None:
        """Make them beside the other works of the page, as this shop writes."""
        self._works = works
        self._shop = shop

    def routes(self) -> list[Route]:
        """Where they are asked for."""
        return [
            Route("/list", self.begin),
            Route("/list", self.show, methods=["POST"]),
            Route("/list/packets.zip", self.packets, methods=["POST"]),
            Route("/list/nest.zip", self.nest, methods=["POST"]),
        ]

    def begin(self, _request: Request) -> Response:
        """Where a list is chosen."""
        return HTMLResponse(render("list-page.html"))

    async def show(self, request: Request) -> Response:
        """Its rows, and its parts on plates where that was asked."""
        sent, found = await self._read(request)
        nest, refused = None, ""
        if sent.written.get("do") == "nest":
            try:
                nest = nest_shown(await self._nested(request, sent, found), found.unit)
            except FlangeLayoutError as problem:
                refused = in_words(problem)
        given = {"sent": sent, "found": found, "nest": nest, "refused": refused}
        held = base64.b64encode(sent.content).decode()
        plate = plate_texts(sent.written, found.unit)
        return HTMLResponse(await run_in_threadpool(render, "list.html", **given, held=held, plate=plate))

    async def packets(self, request: Request) -> Response:
        """The packets of everything that can be made, in one archive."""
        _, found = await self._read(request)
        files = await self._works.done(request, partial(packets, _some(found)), found.takes_long)
        return download(f"{found.name}.zip", await run_in_threadpool(archive, files))

    async def nest(self, request: Request) -> Response:
        """The files of the plates in one archive."""
        sent, found = await self._read(request)
        made = await self._nested(request, sent, found)
        files = {name: content for packet in made for name, content in packet.files.items()}
        return download(f"{found.name}_nest.zip", await run_in_threadpool(archive, files))

    async def _nested(self, request: Request, sent: SentList, found: JobList) -> tuple[NestPacket, ...]:
        work = partial(nests, found.name, _some(found), stock_of(sent.written, found.unit))
        return await self._works.done(request, work, found.takes_long)

    async def _read(self, request: Request) -> tuple[SentList, JobList]:
        body = await body_of(request, 2 * UPLOAD_BYTES)
        sent = sent_list(request.headers.get("content-type", ""), body)
        return sent, await run_in_threadpool(job_list, sent.name, sent.content, sent.unit, self._shop)


def _some(found: JobList) -> tuple[Job, ...]:
    if not found.jobs:
        raise InputError.of(PageProblem.NO_ROW_TO_MAKE)
    return found.jobs
