"""What can be done, as a Python user reads it; the command line and the page put their own words over these."""

from flangelayout.problems.cures import Cure

SENTENCES: dict[Cure, str] = {
    Cure.RENAME_OR_ELSEWHERE_OR_OVERWRITE: "rename it, choose another folder, or allow it to be overwritten",
}
