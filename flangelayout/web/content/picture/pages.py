"""The pages of a job's files as pictures: the SVG writer's own output, fit to stand in a page of the browser."""

import re
from collections.abc import Callable, Iterator

from markupsafe import Markup
from msgspec import Struct

from flangelayout.drawing.model import SheetSet
from flangelayout.job import Job
from flangelayout.packet.job import cut_page, layout_pages, template_page
from flangelayout.packet.names import stamp_of
from flangelayout.value import replace
from flangelayout.web.form.state import Picture
from flangelayout.writers.numbers import fixed
from flangelayout.writers.svg import write_svg

_WORDS = {
    Picture.SHEET: "Layout sheet",
    Picture.TEMPLATE: "Drilling template, to look at: its PDF file prints at full scale, this page does not",
    Picture.CUT: "Cut file",
}
_ROOT = re.compile(r"<svg\b[^>]*>")
_WORDS_OF_FILE = re.compile(r"<title>[^<]*</title>|<desc>[^<]*</desc>|<defs ?/>")
_ID = re.compile(r'(<[A-Za-z]+\b[^>]* id=")')
_CLIP = re.compile(r'(<[A-Za-z]+\b[^>]* clip-path="url\(#)')


def _unheard(_words: str) -> None:
    """Nobody asks how far it is."""


class DrawnPage(Struct, frozen=True):
    """One page: what it is in words, its size in printed mm, and the drawing, ready for a page."""

    title: str
    width: str
    height: str
    lines: Markup


def drawn_pages(job: Job, picture: Picture, tell: Callable[[str], None] = _unheard) -> tuple[DrawnPage, ...]:
    """The pages of one of a job's drawings; none for what is no drawing.

    Args:
        job: A checked job.
        picture: Which drawing.
        tell: Takes how far the drawing is.
    """
    match picture:
        case Picture.SHEET:
            sheets = layout_pages(job)
        case Picture.TEMPLATE:
            sheets = template_page(job)
        case Picture.CUT:
            sheets = SheetSet((cut_page(job),), stamp_of(job))
        case _:
            return ()
    return tuple(shown(sheets, _WORDS[picture], picture.value, tell))


def shown(sheets: SheetSet, words: str, prefix: str, tell: Callable[[str], None] = _unheard) -> Iterator[DrawnPage]:
    """Pages of any drawing, ready for a page of the browser.

    Args:
        sheets: What is shown.
        words: What it is.
        prefix: What ids in it begin with.
        tell: Takes how far it is.
    """
    count = len(sheets.sheets)
    for number, sheet in enumerate(sheets.sheets, 1):
        tell(f"page {number} of {count}")
        yield DrawnPage(
            title=words + (f", page {number} of {count}" if count > 1 else ""),
            width=fixed(sheet.paper.width),
            height=fixed(sheet.paper.height),
            lines=inline(write_svg(replace(sheets, sheets=(sheet,))), f"{prefix}{number}-"),
        )


def inline(document: bytes, prefix: str) -> Markup:
    """What stands inside an SVG document, fit to stand in an HTML page beside others.

    Ids are led by ``prefix``, so that no two of a page are equal; title and description are left out,
    because a browser would show them wherever one points. In the writer's output ``<`` and ``>`` stand at
    tags and nowhere else, so tags can be found without reading the document as XML.
    """
    inside = _ROOT.split(document.decode("utf-8"), 1)[1].rpartition("</svg>")[0]
    drawn_only = _WORDS_OF_FILE.sub("", inside)
    own_ids = _ID.sub(rf"\g<1>{prefix}", drawn_only)
    return Markup(_CLIP.sub(rf"\g<1>{prefix}", own_ids))
