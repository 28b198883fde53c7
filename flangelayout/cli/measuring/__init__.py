"""The command that measures: its readings as options, and the job it keeps them in."""
