"""Writes ``widths.txt`` anew from the font beside it: ``python -m flangelayout.drawing.font.measure``.

The first line holds what is said once of the font, then follow the advance widths, a run of neighboring
characters a line. Needs fonttools, which the tests bring; the program itself only reads the table.
"""

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

FOLDER = Path(__file__).parent


def widths_table(font: "TTFont") -> str:
    """The table of a font: name, em, height of a capital H, descent and width of an absent sign, then the widths."""
    glyphs, advances = font.getBestCmap(), font["hmtx"]
    head = (
        font["name"].getDebugName(4),
        font["head"].unitsPerEm,
        font["glyf"]["H"].yMax,
        -font["hhea"].descent,
        advances[".notdef"][0],
    )
    lines = ["\t".join(str(each) for each in head)]
    last = None
    for code in sorted(glyphs):
        if last is None or code != last + 1:
            lines.append(f"{code:04X}")
        lines[-1] += f" {advances[glyphs[code]][0]}"
        last = code
    return "\n".join(lines) + "\n"


def main() -> None:
    """Measure the one font of this folder."""
    from fontTools.ttLib import TTFont

    (file,) = FOLDER.glob("*.ttf")
    (FOLDER / "widths.txt").write_text(widths_table(TTFont(file)), encoding="ascii", newline="\n")


if __name__ == "__main__":
    main()
