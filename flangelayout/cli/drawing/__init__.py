"""Drawing, behind the command that says what is asked: one job, or many."""
