"""From the keys of ``[template]`` to how the template is printed."""

from flangelayout.drawing.papers import TemplatePaper
from flangelayout.errors import Problem
from flangelayout.flange import Flange
from flangelayout.flange.sector import sector_problem, strip_problem
from flangelayout.job.job import TemplateSettings
from flangelayout.job.schema.job_file import TemplateTable


def template_settings(
    table: TemplateTable, usual_paper: str, flange: Flange, problems: list[Problem]
) -> TemplateSettings:
    """How the template is printed; what contradicts the plate or another key is told to ``problems``."""
    paper = table.paper or usual_paper
    if table.style != "tiles":
        wrong = _style_problem(table.style, paper, flange)
        if wrong:
            problems.append(Problem("template.style", wrong))
    return TemplateSettings(
        paper,
        table.overlap,
        table.margin,
        style=table.style,
        roll_width=table.roll_width,
        printer=table.printer or "",
        flip_tiles=table.flip_tiles,
    )


def _style_problem(style: str, paper: str, flange: Flange) -> str:
    if paper in (TemplatePaper.ONE_SHEET, TemplatePaper.ROLL):
        return f'"{style}" is for cut paper, not "{paper}"; set paper to A4, Letter, A3 or Tabloid'
    problem = sector_problem(flange) if style == "sector" else strip_problem(flange)
    return f'"{style}" is not possible: {problem}; use style = "tiles"' if problem else ""
