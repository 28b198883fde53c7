"""What files are called."""

from flangelayout.packet.names import next_revision
from rows import every_row


@every_row(
    ("now", "then"),
    [("A", "B"), ("Y", "Z"), ("Z", "AA"), ("AZ", "BA"), ("ZZ", "AAA"), ("0", "1"), ("09", "10"), ("99", "100")],
)
def test_the_revision_after_a_letter_or_a_number(now: str, then: str) -> None:
    assert next_revision(now) == then


@every_row("revision", ["", "a", "A1", "first", "-", "²", "Ä"])
def test_after_anything_else_nobody_can_say(revision: str) -> None:
    assert next_revision(revision) == ""
