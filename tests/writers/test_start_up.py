import os
import subprocess
import sys
from pathlib import Path

import pytest

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


@pytest.mark.parametrize("name", ["dxf", "dxf.cut", "dxf.sheet", "svg", "pdf", "csv_table"])
def test_a_writer_loads_no_library_before_it_runs(name: str) -> None:
    assert loaded_after(f"import flangelayout.writers.{name}") == set()
