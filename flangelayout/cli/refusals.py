"""What was left alone, in the words of the command line: each with what to type instead."""

from flangelayout.files.store import Obstacle, Refusal
from flangelayout.packet.names import next_revision

_DIGITS = 10


def refusal_line(refusal: Refusal) -> str:
    """What is left alone, why, and the cures."""
    before, asked = refusal.before, refusal.asked
    if refusal.obstacle is not Obstacle.ISSUED or before is None or asked is None:
        return f"{refusal}; rename it, choose another folder with --into, or use --force"
    if before.source == asked.source:
        told = f"{before.source} as it was then (digest {before.digest[:_DIGITS]}), and has changed since"
    else:
        told = f"{before.source} (digest {before.digest[:_DIGITS]}), and {asked.source} is another job"
    following = next_revision(asked.revision)
    revision = f'revision = "{following}"' if following else "another revision"
    return (
        f"{asked.number} rev {asked.revision} was drawn into {refusal.path} before from {told} "
        f"(digest {asked.digest[:_DIGITS]}); write {revision} or another number into its [job], "
        "or replace what was drawn: --force"
    )
