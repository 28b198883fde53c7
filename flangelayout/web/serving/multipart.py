"""What a form with files sends: its parts, told apart by the boundary (RFC 7578 and RFC 2046, 5.1)."""

import re

from msgspec import Struct

_BOUNDARY = re.compile(r'multipart/form-data\s*;.*?boundary="?([^";\s]{1,70})"?', re.IGNORECASE)
_NAME = re.compile(rb'[;\s]name="([^"]*)"')
_FILE = re.compile(rb'filename="([^"]*)"')
_MOST_PARTS = 60


class FormPart(Struct, frozen=True):
    """One field of a form; ``file`` is the file's name, empty for a plain field."""

    name: str
    file: str
    content: bytes


def form_parts(content_type: str, body: bytes) -> tuple[FormPart, ...]:
    """The parts of a form; none where it is no such form.

    Args:
        content_type: As the browser sends it, with the boundary.
        body: What was sent.
    """
    match = _BOUNDARY.match(content_type)
    if match is None:
        return ()
    limit = b"\r\n--" + match[1].encode()
    pieces = (b"\r\n" + body).split(limit)[1:-1]
    parts = (_part(piece) for piece in pieces[:_MOST_PARTS])
    return tuple(part for part in parts if part is not None)


def _part(piece: bytes) -> FormPart | None:
    head, found, content = piece.partition(b"\r\n\r\n")
    name = _NAME.search(head)
    if not found or name is None:
        return None
    file = _FILE.search(head)
    return FormPart(name[1].decode("utf-8", "replace"), file[1].decode("utf-8", "replace") if file else "", content)
