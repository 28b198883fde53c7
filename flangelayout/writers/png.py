"""Pages as pictures, through a real PDF rasterizer: what is seen is what the PDF holds."""

from collections.abc import Iterator
from io import BytesIO

from flangelayout.errors import OutputError
from flangelayout.problems.output import OutputProblem

DOTS_PER_INCH = 110
_LONGEST_SIDE = 5000
"""Pictures of large sheets are made coarser, so that no side has more dots than this."""


def png_pages(pdf: bytes) -> Iterator[bytes]:
    """A PNG picture of every page of a PDF, in gray.

    Raises:
        OutputError: If the rasterizer is not installed.
    """
    check_rasterizer()
    import pypdfium2

    with pypdfium2.PdfDocument(pdf) as document:
        for page in document:
            scale = min(DOTS_PER_INCH / 72, _LONGEST_SIDE / max(page.get_size()))
            out = BytesIO()
            page.render(scale=scale, grayscale=True).to_pil().save(out, "PNG", optimize=True)
            yield out.getvalue()


def check_rasterizer() -> None:
    """Refuse at once where pictures cannot be made.

    Raises:
        OutputError: With what to install.
    """
    from importlib.util import find_spec

    missing = [name for module, name in (("pypdfium2", "pypdfium2"), ("PIL", "Pillow")) if find_spec(module) is None]
    if missing:
        raise OutputError.of(OutputProblem.PREVIEW_NEEDS, missing=tuple(missing))
