"""Whether the drawing's font can show what a person wrote."""

import unicodedata
from collections.abc import Iterator, Mapping

from flangelayout.checks.finding import Finding, Severity
from flangelayout.drawing.textwidth import missing_characters


def check_text(texts: Mapping[str, str]) -> Iterator[Finding]:
    """A warning for each text with characters that print as an empty box.

    Args:
        texts: Texts by job key.
    """
    for where, text in texts.items():
        missing = missing_characters(text)
        if missing:
            shown = ", ".join(_named(character) for character in missing[:5])
            more = f" and {len(missing) - 5} more" if len(missing) > 5 else ""
            yield Finding(
                "font",
                Severity.WARNING,
                where,
                f"the drawing's font has no sign for {shown}{more}; an empty box is printed in its place, "
                "and the text itself stays in the files; write it in Latin, Greek or Cyrillic letters to see it",
            )


def _named(character: str) -> str:
    name = unicodedata.name(character, "unnamed")
    return f"U+{ord(character):04X} ({name.lower()})"
