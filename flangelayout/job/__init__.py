"""A job, checked: what a person wrote, in millimeters and degrees; ``load`` reads it, with all problems at once."""

from flangelayout.drawing.settings import SheetSettings, TemplateSettings
from flangelayout.job.job import CutSettings, Job

__all__ = ["CutSettings", "Job", "SheetSettings", "TemplateSettings"]
