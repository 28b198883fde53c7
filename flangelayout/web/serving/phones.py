"""Phones of the shop that may see the page: each was let in with a key of its own that works once."""

import io
import secrets
import threading
from ipaddress import IPv4Address, IPv4Interface
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    import segno

_MOST = 20
_KEY_BYTES = 24
COOKIE = "flangelayout"
_HELD_FOR = 12 * 3600
"""Seconds that a phone stays let in: a working day."""


class Phone(Struct, frozen=True):
    """A phone that was let in: which one, and from what address."""

    number: int
    address: str


class Phones:
    """The keys of one run of the page. They are held in memory and end with it."""

    def __init__(self, own: tuple[IPv4Interface, ...], port: int) -> None:
        """Begin with nobody let in.

        Args:
            own: This computer's addresses in its networks.
            port: Where the page answers.
        """
        self.own = own
        self.port = port
        self._lock = threading.Lock()
        self._once = _new_key()
        self._let_in: dict[str, Phone] = {}
        self._count = 0

    @property
    def hosts(self) -> frozenset[str]:
        """What a phone's browser may call this page."""
        return frozenset(f"{each.ip}:{self.port}" for each in self.own)

    @property
    def address(self) -> str:
        """What to scan: the address with the key that lets the next phone in, and no other after it."""
        return f"http://{self.own[0].ip}:{self.port}/?key={self._once}"

    @property
    def inside(self) -> tuple[Phone, ...]:
        """Who is let in."""
        return tuple(self._let_in.values())

    def is_near(self, peer: str) -> bool:
        """Whether an address is a private one of a network that this computer is in."""
        try:
            address = IPv4Address(peer)
        except ValueError:
            return False
        return address.is_private and any(address in each.network for each in self.own)

    def let_in(self, key: str, peer: str) -> str:
        """The cookie for a phone that brings the key of the moment, which then works no more; empty for any other."""
        with self._lock:
            if not secrets.compare_digest(key.encode(), self._once.encode()) or len(self._let_in) >= _MOST:
                return ""
            self._once = _new_key()
            self._count += 1
            held = _new_key()
            self._let_in[held] = Phone(self._count, peer)
        return f"{COOKIE}={held}; Max-Age={_HELD_FOR}; Path=/; HttpOnly; SameSite=Strict"

    def knows(self, held: str, peer: str) -> bool:
        """Whether a phone was let in and still comes from the address that it came from."""
        given = held.encode()
        known = [
            (key, phone) for key, phone in list(self._let_in.items()) if secrets.compare_digest(key.encode(), given)
        ]
        return any(phone.address == peer for _, phone in known)

    def send_away(self, number: int) -> None:
        """Let a phone in no more; 0 for all of them. The key of the moment is made anew."""
        with self._lock:
            self._let_in = {key: each for key, each in self._let_in.items() if number and each.number != number}
            self._once = _new_key()

    def svg(self) -> str:
        """The code to scan, as a drawing."""
        return str(_code(self.address).svg_inline(scale=4, border=2, omitsize=True, svgclass=None, lineclass=None))

    def in_letters(self) -> str:
        """The code to scan, in block letters for a terminal."""
        into = io.StringIO()
        _code(self.address).terminal(into, compact=True)
        return into.getvalue()


def _new_key() -> str:
    return secrets.token_urlsafe(_KEY_BYTES)


def _code(text: str) -> "segno.QRCode":
    import segno

    return segno.make_qr(text, error="m")
