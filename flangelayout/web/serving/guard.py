"""What every request must be and every answer says: loopback only, no other site's page, nothing run inline."""

from collections.abc import Iterable

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from flangelayout.web.form.address import LONGEST, too_long

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
_ANSWERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
}
_READS = ("GET", "HEAD")


class Guard:
    """Stands before the pages: refuses what does not come from the page itself, marks every answer."""

    def __init__(self, app: ASGIApp, hosts: Iterable[str]) -> None:
        """Guard an application that is reached under some hosts, each written as browsers send it."""
        self._app = app
        self._hosts = frozenset(hosts)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request or refuse it."""
        if scope["type"] != "http":
            return
        refusal = self._refusal(scope)
        answer: ASGIApp = self._app if refusal is None else PlainTextResponse(refusal[1], refusal[0])
        await answer(scope, receive, _marked(send, scope["path"]))

    def _refusal(self, scope: Scope) -> tuple[int, str] | None:
        """Status and reason, or ``None`` for a request that may pass."""
        headers = Headers(scope=scope)
        hosts = headers.getlist("host")
        if len(hosts) != 1 or hosts[0].lower() not in self._hosts:
            return 421, "This page answers only under its own address on this computer."
        if scope["method"] not in _READS and not self._is_own(headers):
            return 403, "This did not come from the page itself."
        if headers.get("sec-fetch-site", "none") == "cross-site" and headers.get("sec-fetch-mode") != "navigate":
            return 403, "Another site's page asked for this."
        length = len(scope["query_string"])
        return (414, too_long(length).text) if length > LONGEST * 2 else None

    def _is_own(self, headers: Headers) -> bool:
        origin = headers.get("origin", "")
        return origin.removeprefix("http://") in self._hosts and origin.startswith("http://")


def _marked(send: Send, path: str) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _ANSWERS.items():
                headers[name] = value
            if not path.startswith("/static/"):
                headers["cache-control"] = "no-store"
        await send(message)

    return sent
