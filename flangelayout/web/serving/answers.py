"""What every answer is made of: bodies taken within limits, files to keep, and refusals in words."""

import asyncio

from markupsafe import Markup
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from flangelayout.english.page import PAGE
from flangelayout.english.sentences import lines_of
from flangelayout.errors import FlangeLayoutError
from flangelayout.web.content.files import headers_of
from flangelayout.web.form.limits import UPLOAD_SECONDS
from flangelayout.web.serving.render import render


def download(name: str, content: bytes) -> Response:
    """A file that the browser keeps."""
    return Response(content, headers=headers_of(name))


def by_script(request: Request) -> bool:
    """Whether the page's own script asks."""
    return request.headers.get("hx-request") == "true"


async def body_of(request: Request, most: int, seconds: float = UPLOAD_SECONDS) -> bytes:
    """What was sent, up to a size and within a time."""
    try:
        async with asyncio.timeout(seconds):
            return await _collected(request, most)
    except TimeoutError:
        raise HTTPException(408, "What was sent did not arrive in time.") from None


async def _collected(request: Request, most: int) -> bytes:
    content = bytearray()
    async for part in request.stream():
        content += part
        if len(content) > most:
            raise HTTPException(413, f"That is more than the {most / 1e6:g} MB this page takes.")
    return bytes(content)


def plain_page(title: str, body: str, query: str = "") -> str:
    """A page of a few words, for a person whose browser runs no script."""
    return render("plain.html", title=title, body=Markup(body), query=query)


def refused_answer(request: Request, problem: Exception) -> Response:
    """A refusal in words: on the page for its script, as a page of its own for a person."""
    status = problem.status_code if isinstance(problem, HTTPException) else 400
    reason = problem.detail if isinstance(problem, HTTPException) else in_words(problem)
    if by_script(request):
        return HTMLResponse(render("refused.html", reason=reason), status)
    return HTMLResponse(plain_page("This cannot be done", render("reason.html", reason=reason)), status)


def unanswered(_request: Request, _problem: Exception) -> Response:
    """Nobody is there to read it."""
    return Response(status_code=408)


def in_words(problem: Exception) -> str:
    """A refusal as the page says it."""
    if isinstance(problem, FlangeLayoutError):
        return ". ".join(lines_of(problem, PAGE))
    return str(problem)
