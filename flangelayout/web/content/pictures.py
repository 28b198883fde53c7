"""The pictures of a job: the SVG writer's own output, with what can be pointed at laid over it."""

import re
from dataclasses import dataclass

from markupsafe import Markup

from flangelayout.drawing.model import Sheet, SheetSet
from flangelayout.job import Job
from flangelayout.packet.job import cut_page, layout_pages, template_page
from flangelayout.packet.names import stamp_of
from flangelayout.units import Unit
from flangelayout.web.content.targets import FieldSpot, HoleSpot, field_spots, hole_spots
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


@dataclass(frozen=True, slots=True)
class Drawn:
    """One picture.

    Attributes:
        picture: Which.
        title: What it is, in words.
        width: Of its page in printed mm.
        height: Likewise.
        lines: The drawing, ready for a page.
        holes: Holes that can be pointed at.
        fields: Dimensions that lead to a field.
    """

    picture: Picture
    title: str
    width: str
    height: str
    lines: Markup
    holes: tuple[HoleSpot, ...]
    fields: tuple[FieldSpot, ...]


def drawn(job: Job, show: Unit) -> tuple[Drawn, ...]:
    """Sheet (its first page), template and cut file of a job as pictures.

    Args:
        job: A checked job.
        show: Unit of what is said about a hole; the drawings themselves are in the job's.
    """
    pages = layout_pages(job)
    count = len(pages.sheets)
    sheet_title = _WORDS[Picture.SHEET] + (f", page 1 of {count}" if count > 1 else "")
    return (
        _drawn(job, Picture.SHEET, sheet_title, pages.sheets[0], show),
        _drawn(job, Picture.TEMPLATE, _WORDS[Picture.TEMPLATE], template_page(job).sheets[0], show),
        _drawn(job, Picture.CUT, _WORDS[Picture.CUT], cut_page(job), show),
    )


def _drawn(job: Job, picture: Picture, title: str, sheet: Sheet, show: Unit) -> Drawn:
    return Drawn(
        picture=picture,
        title=title,
        width=fixed(sheet.paper.width),
        height=fixed(sheet.paper.height),
        lines=inline(write_svg(SheetSet((sheet,), stamp_of(job))), f"{picture.value}-"),
        holes=hole_spots(job.flange, sheet, show),
        fields=field_spots(job.flange, sheet) if picture is Picture.SHEET else (),
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
