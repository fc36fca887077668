"""A command brings in what it needs and no more: what is heavy stays away until somebody asks for it."""

import subprocess
import sys

import pytest

from polewright.words.reports.kinds import REPORTS
from polewright.workshop import schema_of

PAPERS = ("typst", "ezdxf", "shapely", "spyrrow", "openpyxl", "segno", "matplotlib")
STORES = ("sqlalchemy", "psycopg")
FACES = ("fastapi", "starlette", "uvicorn", "jinja2")
SOLVERS = ("scipy.optimize", "scipy.interpolate", "scipy.sparse", "scipy.stats", "scipy.integrate")


def loaded_by(*words: str) -> set[str]:
    """Names of all modules that a command has loaded when it ends."""
    script = (
        "import sys\n"
        "from polewright.cli import main\n"
        f"sys.argv = ['polewright', *{list(words)!r}]\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "sys.stderr.write('\\n'.join(sys.modules))\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout
    return set(done.stderr.split())


@pytest.mark.slow
def test_check_loads_no_paper_no_store_no_face_and_no_solver_of_others(reedlight):
    loaded = loaded_by("check", str(reedlight))
    assert "polewright.answers.check" in loaded
    assert not loaded & {*PAPERS, *STORES, *FACES, *SOLVERS}


@pytest.mark.parametrize("words", [("--help",), ("schema",), ("schema", "pole-design")])
def test_help_and_schemas_load_no_physics(words):
    loaded = loaded_by(*words)
    assert not loaded & {*PAPERS, *STORES, *FACES, "numba", "scipy", "numpy"}


@pytest.mark.parametrize("kind", REPORTS)
def test_every_kind_of_answer_has_a_schema(kind):
    assert schema_of(kind)["type"] == "object"
