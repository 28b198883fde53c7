"""Invented flanges to learn on: what was measured, what is wrong with it, and the way to the answer."""

from flangelayout.lessons.exercise import Exercise, Fault, exercises
from flangelayout.lessons.solution import Step, solution

__all__ = ["Exercise", "Fault", "Step", "exercises", "solution"]
