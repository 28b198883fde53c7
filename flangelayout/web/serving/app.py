"""The application: which address answers with what. It keeps nothing but how far the works under way are."""

import re
from collections.abc import Iterable, Sequence
from functools import partial
from importlib.resources import files
from ipaddress import ip_address

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp

from flangelayout.drawing.papers import usual_paper
from flangelayout.errors import FlangeLayoutError, InputError
from flangelayout.files.starters import starters
from flangelayout.job.shop import NO_SHOP, Shop
from flangelayout.packet.job import PacketFile, Part
from flangelayout.problems.page import PageProblem
from flangelayout.units import Unit
from flangelayout.web.content.files import archive, contents, job_file, listed, made_files, printed, to_make
from flangelayout.web.content.job_of_state import Checked, checked
from flangelayout.web.content.page import Page
from flangelayout.web.content.picture.pages import drawn_pages
from flangelayout.web.content.picture.scene import scene_of_flange
from flangelayout.web.form.address import LONGEST, read_address
from flangelayout.web.form.limits import UPLOAD_BYTES, takes_long
from flangelayout.web.form.state import State
from flangelayout.web.serving.actions import apply
from flangelayout.web.serving.answers import (
    body_of,
    by_script,
    download,
    in_words,
    plain_page,
    refused_answer,
    unanswered,
)
from flangelayout.web.serving.guard import Guard
from flangelayout.web.serving.jobs_folder import JobsFolder
from flangelayout.web.serving.lists import Lists
from flangelayout.web.serving.phones import Phones
from flangelayout.web.serving.photos import PHOTO_BYTES, PHOTO_SECONDS, cards_pdf, photos_answer, photos_form
from flangelayout.web.serving.render import render
from flangelayout.web.serving.upload import opened
from flangelayout.web.serving.works import NobodyWaitsError, Works

_PARTS = {"cut": Part.CUT, "template": Part.TEMPLATE, "sheet": Part.SHEET}
_WANTED = {Part.CUT: ".dxf", Part.TEMPLATE: ".pdf", Part.SHEET: ".pdf"}
"""Which of a part's files the shop wants."""
_STATIC = {
    "page.css": "text/css; charset=utf-8",
    "picture.css": "text/css; charset=utf-8",
    "page.js": "text/javascript; charset=utf-8",
    "picture.js": "text/javascript; charset=utf-8",
    "photos.js": "text/javascript; charset=utf-8",
    "htmx.min.js": "text/javascript; charset=utf-8",
    "icon.svg": "image/svg+xml",
}
_BUILDS_AT_ONCE = 2
_NAMES_UNIT = re.compile(r"(?:^|&)units=")


def create_app(
    hosts: Iterable[str], folder: JobsFolder | None = None, shop: Shop = NO_SHOP, phones: Phones | None = None
) -> ASGIApp:
    """The page as an application.

    Args:
        hosts: Under which it is reached, as browsers send them: ``127.0.0.1:8321``.
        folder: Where jobs may be saved; ``None`` for nowhere.
        shop: What this shop always writes the same.
        phones: Who beside this computer may see it; ``None`` for nobody.
    """
    site = _Site(folder, shop, phones)
    routes = [
        Route("/", site.page),
        Route("/live", site.live),
        Route("/view", site.view),
        Route("/progress/{run}", site.progress),
        Route("/files", site.files),
        Route("/part/{part}", site.part),
        Route("/file/{name}", site.file),
        Route("/packet.zip", site.packet),
        Route("/job.toml", site.job),
        Route("/start/{kind}", site.start),
        Route("/jobs/{name}", site.saved_job),
        Route("/jobs/{name}/picture.svg", site.saved_picture),
        Route("/open", site.open, methods=["POST"]),
        Route("/save", site.save, methods=["POST"]),
        Route("/photos", site.photos_page),
        Route("/photos", site.photos, methods=["POST"]),
        Route("/photo-cards.pdf", site.photo_cards),
        Route("/phones/away/{number:int}", site.send_away, methods=["POST"]),
        Route("/static/{name}", site.static),
    ]
    refusals = {FlangeLayoutError: refused_answer, HTTPException: refused_answer, NobodyWaitsError: unanswered}
    routes += Lists(site.works, shop).routes()
    pages = Starlette(routes=routes, exception_handlers=refusals, middleware=[Middleware(GZipMiddleware, 1_000, 5)])
    pages.router.redirect_slashes = False
    return Guard(pages, hosts, phones)


class _Site:
    """The answers. What is held is fixed when the page is started."""

    def __init__(self, folder: JobsFolder | None, shop: Shop, phones: Phones | None) -> None:
        self._folder = folder
        self._phones = phones
        self._shop = shop
        self._starters = starters()
        self.works = Works(_BUILDS_AT_ONCE)
        self._static = {name: (files("flangelayout.web") / "static" / name).read_bytes() for name in _STATIC}

    def page(self, request: Request) -> Response:
        """The whole page; a button that was pressed without a script is obeyed first."""
        return HTMLResponse(self._bench("page.html", request, self._page_of(request), later=True))

    def live(self, request: Request) -> Response:
        """What follows a change: the parts beside the fields or, after a button, everything."""
        page = self._page_of(request)
        if request.query_params.get("do"):
            return HTMLResponse(self._bench("acted.html", request, page))
        return HTMLResponse(render("live.html", page=page))

    async def view(self, request: Request) -> Response:
        """The drawing that is looked at, for a page that was shown before it was drawn."""
        page = await run_in_threadpool(self._page_of, request)
        if page.slow and page.checked.job is not None and not page.unsound:
            drawing = partial(drawn_pages, page.checked.job, page.state.picture)
            page.pages = await self.works.done(request, drawing, apart=True)
        return HTMLResponse(await run_in_threadpool(render, "pane.html", page=page))

    def progress(self, request: Request) -> Response:
        """How far a work is that a page waits for."""
        return PlainTextResponse(self.works.told(request.path_params["run"]))

    async def files(self, request: Request) -> Response:
        """The list of the packet's files."""
        page = await run_in_threadpool(self._page_of, request)
        try:
            made = await self._packet(request, page.checked)
        except FlangeLayoutError as refused:
            return self._listed(request, (), in_words(refused), page)
        return self._listed(request, listed(made), "", page)

    async def file(self, request: Request) -> Response:
        """One file of the packet; its name is only compared with the names of the packet."""
        page = await run_in_threadpool(self._page_of, request)
        made = contents(await self._packet(request, page.checked))
        name = request.path_params["name"]
        if name not in made:
            raise HTTPException(404, "This job has no file of that name.")
        return download(name, made[name])

    async def part(self, request: Request) -> Response:
        """The file that the shop wants of one part of the packet; only that part is made."""
        part = _PARTS.get(request.path_params["part"])
        if part is None:
            raise HTTPException(404, "A packet has no such part.")
        page = await run_in_threadpool(self._page_of, request)
        made = await self._packet(request, page.checked, (part,))
        file = next((each for each in made if each.name.endswith(_WANTED[part])), made[0])
        return download(file.name, file.content)

    async def packet(self, request: Request) -> Response:
        """All files and the job file in one archive."""
        done = (await run_in_threadpool(self._page_of, request)).checked
        name, content = job_file(done)
        files = contents(await self._packet(request, done))
        return download(f"{done.name}.zip", await run_in_threadpool(archive, {**files, name: content}))

    def job(self, request: Request) -> Response:
        """The job file."""
        return download(*job_file(self._page_of(request).checked))

    def start(self, request: Request) -> Response:
        """The page with a starter job on it."""
        starter = self._starters.get(request.path_params["kind"])
        if starter is None:
            raise HTTPException(404, f"There is no such starter job; there are {', '.join(self._starters)}.")
        return _at(opened(starter.content))

    def saved_job(self, request: Request) -> Response:
        """The page with a job of the jobs folder on it."""
        return _at(opened(self._the_folder().read(request.path_params["name"])))

    def saved_picture(self, request: Request) -> Response:
        """A small picture of a job of the jobs folder, empty where it cannot be drawn."""
        state, _ = self._state_of(opened(self._the_folder().read(request.path_params["name"])))
        flange = checked(state, self._shop).flange
        scene = None if flange is None else scene_of_flange(flange, state.unit)
        return Response(render("thumbnail.svg", scene=scene), headers={"content-type": "image/svg+xml"})

    async def open(self, request: Request) -> Response:
        """The address of a job file that was sent, or why it cannot be opened."""
        content = await body_of(request, UPLOAD_BYTES)
        try:
            return JSONResponse({"address": f"/?{await run_in_threadpool(opened, content)}"})
        except InputError as refused:
            told = {"reason": in_words(refused)}
            if any(problem.kind is PageProblem.A_LIST_OF_JOBS for problem in refused.problems):
                told["list"] = "open it as one"
            return JSONResponse(told, 422)

    def photos_page(self, request: Request) -> Response:
        """Where photos are chosen, for the job of the query."""
        query = request.scope["query_string"].decode("ascii", "replace")
        return HTMLResponse(photos_form(query, self._state_of(query)[0]))

    async def photos(self, request: Request) -> Response:
        """What photos show, as a part of the page for its script, else as the whole page."""
        try:
            body = await body_of(request, PHOTO_BYTES, PHOTO_SECONDS)
        except HTTPException as refused:
            if not by_script(request):
                raise
            return HTMLResponse(render("reason.html", reason=refused.detail), refused.status_code)
        return await run_in_threadpool(self._photos, request, body)

    def photo_cards(self, request: Request) -> Response:
        """The pages of cards to print."""
        state = self._state_of(request.scope["query_string"].decode("ascii", "replace"))[0]
        return download(*cards_pdf(usual_paper(state.unit).value))

    def _photos(self, request: Request, body: bytes) -> Response:
        kind = request.headers.get("content-type", "")
        with self.works.turn:
            looked, job, written = photos_answer(kind, body, lambda query: self._state_of(query)[0], in_words)
        if by_script(request):
            return HTMLResponse(looked)
        return HTMLResponse(photos_form(job, self._state_of(job)[0], looked, written))

    async def save(self, request: Request) -> Response:
        """The jobs folder after a job was saved in it."""
        folder = self._the_folder()
        query = (await body_of(request, LONGEST * 3)).decode("ascii", "replace")
        saved, refused = "", False
        try:
            done = await run_in_threadpool(lambda: checked(self._state_of(query)[0], self._shop))
            name, content = job_file(done)
            packet = contents(await self._packet(request, done))
            count = await run_in_threadpool(folder.save, printed(done), name, content, packet)
            saved = f"Saved {name} and its files, {count} in all."
            others = await run_in_threadpool(folder.namesakes, name)
            if others:
                saved += f" {', '.join(others)} holds the same number and revision: take it away or renumber it."
        except FlangeLayoutError as problem:
            saved, refused = in_words(problem), True
        given = {"oob": "true", "folder": folder, "saved": saved, "refused": refused}
        return HTMLResponse(await run_in_threadpool(render, "recent.html", **given))

    def send_away(self, request: Request) -> Response:
        """Let a phone in no more; said at this computer only."""
        if self._phones is None or not _is_at_this_computer(request):
            raise HTTPException(404, "There is nobody to send away.")
        self._phones.send_away(request.path_params["number"])
        return HTMLResponse(render("phones.html", **_of_phones(self._phones)))

    def static(self, request: Request) -> Response:
        """A file of the page itself."""
        name = request.path_params["name"]
        if name not in self._static:
            raise HTTPException(404, "There is no such file.")
        headers = {"content-type": _STATIC[name], "cache-control": "max-age=600"}
        return Response(self._static[name], headers=headers)

    def _page_of(self, request: Request) -> Page:
        """The page of a request, a button that was pressed obeyed."""
        state, action = self._state_of(request.scope["query_string"].decode("ascii", "replace"))
        suggested = self._folder.next_number() if action.startswith("begin:") and self._folder else ""
        state, focus = apply(state, action, self._shop.patterns, suggested)
        page = Page(state, focus, self._shop)
        if self._folder is not None:
            page.issued = self._folder.issued(page.number, page.revision)
        return page

    def _bench(self, template: str, request: Request, page: Page, later: bool = False) -> str:
        """The whole page, or all of its form; ``later`` where the drawing follows when the page stands."""
        here = self._phones if _is_at_this_computer(request) else None
        given = {"folder": self._folder, "starters": self._starters.values(), "later": later}
        return render(template, page=page, **given, **_of_phones(here))

    def _state_of(self, query: str) -> tuple[State, str]:
        """The state and the action of a query; a job that names no unit is in the shop's."""
        unit = self._shop.unit or Unit.MM
        return read_address(query if _NAMES_UNIT.search(query) else f"units={unit.value}&{query}")

    async def _packet(
        self, request: Request, done: Checked, parts: Sequence[Part] = tuple(Part)
    ) -> tuple[PacketFile, ...]:
        """The packet, or some parts of it, at most a few being made at a time."""
        job = await run_in_threadpool(to_make, done)
        return await self.works.done(request, partial(made_files, job, parts), takes_long(job))

    def _listed(self, request: Request, lines: object, reason: str, page: Page) -> Response:
        if by_script(request):
            return HTMLResponse(render("files.html", lines=lines, reason=reason, query=""))
        body = render("files.html", lines=lines, reason=reason, query=page.address)
        return HTMLResponse(plain_page("The files", body, page.address))

    def _the_folder(self) -> JobsFolder:
        if self._folder is None:
            raise HTTPException(404, "No jobs folder was named when the page was started (--jobs DIR).")
        return self._folder


def _is_at_this_computer(request: Request) -> bool:
    return request.client is not None and ip_address(request.client.host).is_loopback


def _of_phones(phones: Phones | None) -> dict[str, object]:
    """The code that lets a phone in; nothing where none may come, or for who is not at this computer."""
    from markupsafe import Markup

    return {} if phones is None else {"lan": phones, "code": Markup(phones.svg())}


def _at(query: str) -> Response:
    return RedirectResponse(f"/?{query}", 303)
