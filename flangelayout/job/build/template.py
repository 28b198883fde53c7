"""From the keys of ``[template]`` to how the template is printed."""

from flangelayout.drawing.choices import TemplateStyle
from flangelayout.drawing.papers import PAPER_NAMES, TemplatePaper
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.errors import Problem
from flangelayout.flange import Flange
from flangelayout.flange.sector import sector_problem, strip_problem
from flangelayout.job.schema.job_file import TemplateTable
from flangelayout.problems.cures import Cure
from flangelayout.problems.job import JobProblem


def template_settings(
    table: TemplateTable, usual_paper: str, flange: Flange, problems: list[Problem]
) -> TemplateSettings:
    """How the template is printed; what contradicts the plate or another key is told to ``problems``."""
    paper = table.paper or usual_paper
    if table.style is not TemplateStyle.TILES:
        wrong = _style_problem(table.style, paper, flange)
        if wrong:
            problems.append(wrong)
    return TemplateSettings(
        paper,
        table.overlap,
        table.margin,
        style=table.style,
        roll_width=table.roll_width,
        printer=table.printer or "",
        flip_tiles=table.flip_tiles,
    )


def _style_problem(style: TemplateStyle, paper: str, flange: Flange) -> Problem | None:
    where = "template.style"
    if paper in (TemplatePaper.ONE_SHEET, TemplatePaper.ROLL):
        return Problem(where, JobProblem.STYLE_FOR_CUT_PAPER, style=style, paper=paper, choices=PAPER_NAMES)
    problem = sector_problem(flange) if style is TemplateStyle.SECTOR else strip_problem(flange)
    return problem.placed(where, cure=Cure.USE_TILES) if problem else None
