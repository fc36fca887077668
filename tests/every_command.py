"""Commands that tests run in every made language: what answers, what writes or looks up, what is refused."""

from pathlib import Path

import tomli_w

from polewright.documents.files import dump_toml
from tests.kept.odd import odd_pole
from tests.kept.searched import brief_of

__all__ = ["ANSWERED", "FRUIT", "GLASS", "OPTIONS", "OWN", "REED", "REFUSED", "TOLD", "write_own_files"]

EXAMPLES = Path(__file__).parents[1] / "examples"
REED, FRUIT, GLASS = (str(EXAMPLES / f"{name}.toml") for name in ("reedlight-7", "crookbough-5", "peerglass-8"))
OPTIONS = [str(EXAMPLES / "options" / f"reedlight-7-{letter}.toml") for letter in "abcdef"]
TUBE = ["bench", "tube", REED, "--serial", "A1", "--section", "4", "--span", "1200 mm", "--reading", "500 g=1.02 mm",
        "--reading", "1500 g=3.0 mm", "--reading", "2500 g=5.03 mm"]  # fmt: skip
POLE = ["bench", "pole", REED, "--serial", "A1", "--out", "4", "--prop", "1000 mm", "--reading", "250 g=300 mm",
        "--reading", "750 g=800 mm"]  # fmt: skip
ANSWERED = [
    ["check", REED],
    ["check", GLASS],
    ["check", REED, "--wall", "2"],
    ["check", REED, "--if", "sections[0].stack[0].turns=4", "--if", "tip_fitting_g=30"],
    ["check", REED, "--if", "joints.overlap_mm=250", "--if", "brief.reach_at_least_mm="],
    ["rank", *OPTIONS],
    ["wall", REED, "4"],
    ["wall", GLASS, "1"],
    ["hold", REED],
    ["hold", REED, "--reach", "3", "--support", "hands", "--head", "450 g", "--lean", "30", "--wind", "8"],
    ["hold", REED, "--support", "head on glass", "--lean", "60", "--slide", "down", "--head", "400", "--hose", "40"],
    ["scatter", FRUIT, "--poles", "64", "--order", "4", "--seed", "3"],
    TUBE,
    POLE,
]
"""Each answers a program too, with `--json`."""
SEARCHED = ("bought", "too much", "flex", "hopeless")
ODD = "oddstem-6.toml"
OWN = [
    ["check", ODD],
    ["wall", ODD, "2"],
    ["hold", ODD, "--lean", "40", "--support", "lifted", "--head", "250", "--wind", "5"],
    *(["find", f"{name}.toml"] for name in SEARCHED),
]
"""The same for files that `write_own_files` writes: a pole in which nothing is alike, and briefs of short searches."""
TOLD = [
    ["kit", FRUIT, "--out", "kit"],
    ["sheet", FRUIT, "--out", "sheet.pdf", "--units", "inch"],
    [*TUBE, "--tester", "Ada"],
    ["bench", "list"],
    ["jobs", "list"],
    ["store", "backup", "backup.sqlite"],
    ["store", "migrate"],
    ["--help"],
]
REFUSED = [
    ["nonsense"],
    ["check"],
    ["check", "none.toml"],
    ["check", "."],
    ["check", REED, "--wall", "x"],
    ["check", REED, "--wall", "9"],
    ["check", REED, "--wall", "0"],
    ["check", REED, "--nothing"],
    ["check", REED, "--if", "x"],
    ["check", REED, "--if", "no_field=3"],
    ["check", REED, "--if", "sections[0].stack[0].turns=99"],
    ["wall", REED],
    ["hold", REED, "--lean", "91"],
    ["hold", REED, "--lean", "x"],
    ["hold", REED, "--wind", "41"],
    ["hold", REED, "--wind", "x"],
    ["hold", REED, "--support", "none"],
    ["hold", REED, "--slide", "9"],
    ["hold", REED, "--reach", "99 m"],
    ["scatter", REED, "--poles", "0"],
    ["scatter", REED, "--poles", "8"],
    ["scatter", REED, "--seed", "-1"],
    ["kit", REED, "--out", REED],
    ["sheet", REED, "--language", "zz"],
    ["sheet", REED, "--units", "feet"],
    ["find", "none"],
    ["bench", "tube", REED, "--serial", "A", "--section", "9", "--span", "1 m", "--reading", "1 kg=1 mm"],
    ["bench", "tube", REED, "--serial", "A", "--section", "4", "--span", "x", "--reading", "1"],
    ["bench", "tube", REED, "--serial", "A", "--section", "4", "--span", "1 m", "--reading", "1 kg=1 mm"],
    ["bench", "pole", REED, "--serial", "A", "--reading", "x = y"],
    ["bench", "pole", REED, "--serial", "A", "--out", "12", "--reading", "1 kg=1 mm", "--reading", "2 kg=2 mm"],
    ["bench", "record", REED, REED],
    ["store", "restore", "none"],
    ["store", "restore", "backup.sqlite"],
    ["store", "backup", REED],
    ["open", "--port", "x"],
    ["open", "--port", "70000"],
    ["open", "--host", "1.2.3.4"],
    ["jobs", "stop", "x"],
    ["jobs", "stop", "99"],
    ["schema", "none"],
    ["schema", "x", "y"],
]


def write_own_files(folder: Path) -> None:
    """Write the files of `OWN` where the commands run."""
    (folder / ODD).write_text(dump_toml(odd_pole()), encoding="utf-8")
    for name in SEARCHED:
        (folder / f"{name}.toml").write_text(tomli_w.dumps(brief_of(name)), encoding="utf-8")
