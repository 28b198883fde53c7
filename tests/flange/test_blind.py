"""What may be called a blind: a round plate with nothing but bolt circles in it."""

from flangelayout.files.starters import starters
from flangelayout.job.load import job_from_text
from rows import every_row


@every_row("kind", sorted(starters()))
def test_only_a_plate_without_any_other_opening_is_called_a_blind(kind: str) -> None:
    flange = job_from_text(starters()[kind].content.decode(), name=kind).flange
    assert flange.is_blind == (kind == "blind")
