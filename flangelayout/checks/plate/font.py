"""Whether the drawing's font can show what a person wrote."""

from collections.abc import Iterator, Mapping

from flangelayout.checks.cut_facts import Signs
from flangelayout.checks.finding import Finding, Place, Remedy, Result
from flangelayout.checks.rule import Rule
from flangelayout.drawing.textwidth import missing_characters


def check_text(texts: Mapping[str, str]) -> Iterator[Finding]:
    """Each text with characters that print as an empty box; one that passed where all can be shown.

    Args:
        texts: Texts by job key.
    """
    sound = True
    for where, text in texts.items():
        missing = missing_characters(text)
        if missing:
            sound = False
            facts = Signs("".join(missing))
            yield Finding(Rule.FONT, Result.FAILED, Place(where), facts, cure=Remedy.LETTERS_WITH_SIGNS)
    if sound:
        yield Finding(Rule.FONT, Result.PASSED, Place("job"))
