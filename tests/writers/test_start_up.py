import os
import subprocess
import sys
from pathlib import Path

from flangelayout.writers import numbers

ROOT = Path(numbers.__file__).parents[2]
OTHERS = {"ezdxf", "svgwrite", "reportlab", "numpy"}


def loaded_after(statement: str) -> set[str]:
    """Which of the heavy libraries a new process holds after a statement."""
    program = f"import sys\n{statement}\nprint(*{{name.partition('.')[0] for name in sys.modules}})"
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    run = subprocess.run(
        [sys.executable, "-c", program], env=environment, capture_output=True, text=True, check=True, timeout=60
    )
    return OTHERS & set(run.stdout.split())


def test_writers_load_no_library_before_they_run() -> None:
    names = ("dxf", "dxf.cut", "dxf.sheet", "svg", "pdf", "csv_table")
    assert loaded_after("; ".join(f"import flangelayout.writers.{name}" for name in names)) == set()
