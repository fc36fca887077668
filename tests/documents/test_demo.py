from importlib.resources import files
from pathlib import Path

import polewright

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_shipped_demo_is_the_examples_to_the_letter():
    shipped = {
        f.name: f.read_text(encoding="utf-8")
        for f in (files("polewright.documents") / "demo").iterdir()
        if f.name.endswith(".toml")
    }
    assert shipped == {f.name: f.read_text(encoding="utf-8") for f in EXAMPLES.glob("*.toml")}


def test_three_lines_of_python_give_every_figure():
    report = polewright.evaluate(polewright.load(EXAMPLES / "reedlight-7.toml"))
    assert report.pole.mass_g > 1000.0
