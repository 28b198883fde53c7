"""A job file, checked: what a person wrote, in millimeters and degrees, with every problem reported at once."""

from flangelayout.drawing.settings import SheetSettings, TemplateSettings
from flangelayout.job.job import CutSettings, Job
from flangelayout.job.load import job_from_data, job_from_text, load_job, load_survey

__all__ = [
    "CutSettings",
    "Job",
    "SheetSettings",
    "TemplateSettings",
    "job_from_data",
    "job_from_text",
    "load_job",
    "load_survey",
]
