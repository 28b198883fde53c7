"""What every request must be and every answer says: from here or a phone let in, from no other site, nothing inline."""

from collections.abc import Iterable
from http.cookies import CookieError, SimpleCookie
from ipaddress import ip_address
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from flangelayout.web.form.address import LONGEST, too_long
from flangelayout.web.serving.phones import COOKIE, Phones

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
_ANSWERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
}
_READS = ("GET", "HEAD")
_NOT_LET_IN = 403, "Not open to you. Scan the code that the page shows on its own computer."


class Guard:
    """Stands before the pages: refuses what does not come from the page itself, marks every answer."""

    def __init__(self, app: ASGIApp, hosts: Iterable[str], phones: Phones | None = None) -> None:
        """Guard an application that is reached under some hosts, each written as browsers send it.

        Args:
            app: The pages.
            hosts: What it is called on this computer.
            phones: Who else may come; ``None`` for nobody.
        """
        self._app = app
        self._hosts = frozenset(hosts)
        self._phones = phones

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request or refuse it."""
        if scope["type"] != "http":
            return
        await self._answer(scope)(scope, receive, _marked(send, scope["path"]))

    def _answer(self, scope: Scope) -> ASGIApp:
        """What answers a request: the pages, a refusal, or the way in for a phone that brings a key."""
        headers, peer = Headers(scope=scope), (scope.get("client") or ("",))[0]
        if _is_here(peer):
            refusal = self._refusal(scope, headers, self._hosts)
        elif self._phones is None or not self._phones.is_near(peer):
            refusal = _NOT_LET_IN
        else:
            key = _only(parse_qs(scope["query_string"].decode("ascii", "replace")).get("key", []))
            if key and scope["path"] == "/" and scope["method"] == "GET":
                return _entered(self._phones, key, peer, headers)
            known = self._phones.knows(_held(headers), peer)
            refusal = self._refusal(scope, headers, self._phones.hosts) if known else _NOT_LET_IN
        return self._app if refusal is None else PlainTextResponse(refusal[1], refusal[0])

    def _refusal(self, scope: Scope, headers: Headers, hosts: frozenset[str]) -> tuple[int, str] | None:
        """Status and reason, or ``None`` for a request that may pass."""
        named = headers.getlist("host")
        if len(named) != 1 or named[0].lower() not in hosts:
            return 421, "This page answers only under its own address."
        if scope["method"] not in _READS and not _is_own(headers, hosts):
            return 403, "This did not come from the page itself."
        if headers.get("sec-fetch-site", "none") == "cross-site" and headers.get("sec-fetch-mode") != "navigate":
            return 403, "Another site's page asked for this."
        length = len(scope["query_string"])
        return (414, too_long(length).text) if length > LONGEST * 2 else None


def _is_here(peer: str) -> bool:
    """Whether somebody is at this computer itself."""
    try:
        return ip_address(peer).is_loopback
    except ValueError:
        return False


def _entered(phones: Phones, key: str, peer: str, headers: Headers) -> ASGIApp:
    """The way in for a phone that brings the key of the moment under this page's own address."""
    named = headers.getlist("host")
    own = len(named) == 1 and named[0].lower() in phones.hosts
    cookie = phones.let_in(key, peer) if own else ""
    if not cookie:
        return PlainTextResponse(_NOT_LET_IN[1], _NOT_LET_IN[0])
    return RedirectResponse("/", 303, {"set-cookie": cookie})


def _held(headers: Headers) -> str:
    """What a phone shows as let in; empty for nothing, or what cannot be read."""
    try:
        cookies = SimpleCookie(headers.get("cookie", "")[:4_000])
    except CookieError:
        return ""
    return cookies[COOKIE].value if COOKIE in cookies else ""


def _only(found: list[str]) -> str:
    return found[0] if len(found) == 1 else ""


def _is_own(headers: Headers, hosts: frozenset[str]) -> bool:
    origin = headers.get("origin", "")
    return origin.removeprefix("http://") in hosts and origin.startswith("http://")


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
