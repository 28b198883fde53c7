"""Invented flanges to learn on: what was measured, what is wrong with it, and the way to the answer."""

from flangelayout.lessons.exercise import Exercise, ReadingFault, exercises
from flangelayout.lessons.solution import SolutionStep, solution

__all__ = ["Exercise", "ReadingFault", "SolutionStep", "exercises", "solution"]
