"""The page of photos: its form, and what comes of the photos that are sent with it."""

from collections.abc import Callable

from markupsafe import Markup

from flangelayout._version import __version__
from flangelayout.errors import FlangeLayoutError
from flangelayout.views.photo.words import NOT_TRIED
from flangelayout.web.content.photos import MOST_PHOTOS, PhotosUnsettledError, added_holes, looked_into
from flangelayout.web.form.state import State
from flangelayout.web.serving.multipart import form_parts
from flangelayout.web.serving.render import render

PHOTO_BYTES = MOST_PHOTOS * 20_000_000
PHOTO_SECONDS = 60.0
_MOST_STRUCK = 400


def photos_form(job: str, state: State, looked: str = "", written: dict[str, str] | None = None) -> str:
    """The page that photos are chosen on.

    Args:
        job: The query of the page that the holes are to go into.
        state: What it stands for.
        looked: What was found, as HTML.
        written: What was written in the fields before.
    """
    from flangelayout.packet.photo import SCALE_UNKNOWN

    written = written or {}
    count = state.text("survey.hole_count") or state.text("bolt_circle.1.hole_count")
    read = next((row.get("value") for row in state.readings() if row.get("kind") == "hole-diameter"), "")
    return render(
        "photos.html",
        job=job,
        holes=written.get("holes", count),
        diameter=written.get("diameter", str(read or state.text("survey.hole_diameter"))),
        unit=state.show.value,
        **{name: written.get(name, "") for name in ("bar_x", "bar_y", "circle")},
        looked=Markup(looked),
        not_tried=NOT_TRIED,
        scale_unknown=f"{100 * SCALE_UNKNOWN:g}",
    )


def photos_answer(
    content_type: str, body: bytes, state_of: Callable[[str], State], said: Callable[[Exception], str]
) -> tuple[str, str, dict[str, str]]:
    """What came of photos: the part of the page that says it, the query of the job, and the fields as written.

    Args:
        content_type: Of the body.
        body: The form with its files.
        state_of: The page that a query stands for.
        said: A refusal in the page's words.
    """
    parts = form_parts(content_type, body)
    written = {part.name: part.content.decode("utf-8", "replace") for part in parts if not part.file}
    struck = [part.content.decode("ascii", "replace") for part in parts if part.name == "without"][:_MOST_STRUCK]
    pressed = [part.content.decode("ascii", "replace") for part in parts if part.name == "added"][:_MOST_STRUCK]
    files = [(part.file, part.content) for part in parts if part.name == "photos" and part.file]
    job = written.pop("job", "")
    try:
        looked = looked_into(files, written | {"without": " ".join(struck), "added": "\n".join(pressed)}, state_of(job))
    except FlangeLayoutError as refused:
        text = written.get("holes", "")
        count = min(int(text), _MOST_STRUCK) if text.isdecimal() and len(text) < 4 else 0
        pictures = refused.pictures if isinstance(refused, PhotosUnsettledError) else ()
        numbers = [(number, str(number) in struck) for number in range(1, count + 1)] if pictures or struck else []
        given = {"pictures": pictures, "numbers": numbers, "reason": said(refused), "added": _added(pressed)}
        return render("looked.html", looked=None, **given), job, written
    given = {"pictures": looked.pictures, "numbers": looked.numbers, "reason": "", "added": _added(pressed)}
    return render("looked.html", looked=looked, **given), job, written


def _added(pressed: list[str]) -> list[tuple[str, str]]:
    """Every hole that was added: as the form sends it, and in words."""
    return [
        (f"{photo} {x:.5f} {y:.5f}", f"photo {photo + 1}, {100 * x:.0f} % across, {100 * y:.0f} % down")
        for photo, x, y in added_holes(pressed)
    ]


def cards_pdf(paper: str) -> tuple[str, bytes]:
    """Name and content of the pages of cards."""
    from flangelayout.drawing.model import Stamp
    from flangelayout.views.photo.cards import card_sheets
    from flangelayout.writers.pdf import write_pdf

    stamp = Stamp("cards", "", "", "", __version__, f"cards for photos, {paper}")
    return f"photo-cards_{paper}.pdf", write_pdf(card_sheets(paper, stamp))
