"""`polewright find` as a person runs it."""

import json
import os
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import jsonschema
import pytest
import tomli_w
from tests.said import said

from polewright.codes import Message
from polewright.words.reports.plain import plain_text

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
BRIEFS = ROOT / "examples" / "briefs"


@pytest.fixture
def small(tmp_path):
    """A brief of two sections in a file: quick to search."""

    def written(name="small.toml", **change):
        plain = tomllib.loads((BRIEFS / "reedlight-7.toml").read_text(encoding="utf-8"))
        plain["brief"] = {"reach_at_least_mm": 3000, "material_cost_at_most": 60}
        plain["mandrels"] = plain["mandrels"][:3]
        plain["rolls"]["most_plies"] = 6
        plain["rolls"]["plies"] = [p for p in plain["rolls"]["plies"] if p["prepreg"] != "HM125"]
        del plain["sections"]
        for path, value in change.items():
            room, _, field = path.partition("__")
            if field:
                plain[room][field] = value
            else:
                plain[room] = value
        (tmp_path / name).write_text(tomli_w.dumps(plain), encoding="utf-8")
        return tmp_path / name

    return written


def test_find_prints_the_pole_its_proof_the_trade_and_what_more_would_buy(polewright, small, tmp_path):
    done = polewright("find", small(), "--out", tmp_path / "best.toml")
    assert done.returncode == 0, done.stderr
    printed = " ".join(done.stdout.split())  # a title is folded to the width of its table
    for text in (
        said("cli.find.sections"),
        said("cli.find.meets"),
        said("find.count.poles", sections=2),
        said("cli.find.proof_of", model=Message("find.model")),
        said("cli.find.trade"),
        said("cli.find.money"),
        said("cli.find.offers"),
        said("offer.cost", amount=Message("offer.amount", amount=10.0, currency="€")),
        said("cli.find.no_certificate"),
    ):
        assert plain_text(text) in printed
    assert done.stderr == ""
    checked = polewright("check", tmp_path / "best.toml", "--json")
    report = json.loads(checked.stdout)
    assert f"{report['pole']['droop_mm']:.0f} mm" in done.stdout


def test_find_as_json_fits_its_published_schema_and_holds_the_design(polewright, small, tmp_path):
    answer = json.loads(polewright("find", small(), "--json").stdout)
    jsonschema.validate(answer, json.loads(polewright("schema", "find-report").stdout))
    assert answer["design"]["document"] == "pole-design"
    assert answer["best"]["gap_pct"] <= 1.0


def test_a_brief_that_cannot_be_met_says_why_and_writes_nothing(polewright, small, tmp_path):
    file = small(brief__material_cost_at_most=20)
    done = polewright("find", file)
    assert done.returncode == 0, done.stderr
    limit = said(
        "find.wish_limit", name=Message("find.wish.cost"), limit=Message("find.money", amount=20.0, currency="€")
    )
    assert plain_text(said("cli.find.conflict", wishes=(limit,))) in done.stdout
    assert plain_text(said("find.proof.none")) in done.stdout
    wrote = polewright("find", file, "--out", tmp_path / "none.toml")
    assert wrote.returncode == 2
    assert plain_text(said("want.pole_to_write")) in wrote.stderr
    assert not (tmp_path / "none.toml").exists()


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"materials": []}, plain_text(said("want.search_materials"))),
        (
            {"rolls__wall_least_mm": 2.0, "rolls__wall_most_mm": 1.0},
            plain_text(said("want.at_most_thickest_wall_allowed_two", most_wall=0.001)),
        ),
        (
            {"brief__reach_at_least_mm": 30000},
            plain_text(said("want.tubes_to_reach", count=21, length=1.65, reach=30.0)),
        ),
        ({"rolls__most_plies": 40}, "(rolls.most_plies)"),
    ],
)
def test_bad_briefs_are_refused_with_a_message(polewright, small, change, said):
    done = polewright("find", small(**change))
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_a_search_too_long_is_refused_with_its_estimate(polewright, small):
    plies = [
        {"prepreg": n, "angle_deg": a} for n in ("SM150", "IM125", "HM125", "TH55") for a in (0, 90, 10, 20, 30, 60)
    ]
    done = polewright("find", small(rolls={"order": "any", "most_plies": 12, "plies": plies}))
    assert done.returncode == 2
    before, after = plain_text(said("want.shorter_search", seconds=0.0)).rsplit("0", 1)
    assert before in done.stderr
    assert after in done.stderr


def test_a_search_that_is_stopped_resumes_from_its_file_to_its_end(polewright, small, tmp_path):
    rack = tomllib.loads((BRIEFS / "reedlight-7.toml").read_text(encoding="utf-8"))["mandrels"]
    file = small(brief__reach_at_least_mm=5800, brief__material_cost_at_most=200, rolls__most_plies=8, mandrels=rack)
    state = tmp_path / "search.state"
    stopped = polewright("find", file, "--state", state, "--seconds", "0.01")
    assert state.exists() or stopped.returncode == 2
    assert "Traceback" not in stopped.stderr
    done = polewright("find", file, "--state", state)
    assert done.returncode == 0, done.stderr
    assert plain_text(said("find.count.poles", sections=4)) in done.stdout
    assert plain_text(said("find.stopped")) not in done.stdout
    assert not state.exists()
    state.write_bytes(b"something else")
    refused = polewright("find", file, "--state", state)
    assert refused.returncode == 2
    assert plain_text(said("want.state_file")) in refused.stderr


def test_a_pole_design_is_a_brief_with_its_own_options(polewright, small, tmp_path):
    polewright("find", small(), "--out", tmp_path / "best.toml")
    done = polewright("find", tmp_path / "best.toml", "--out", tmp_path / "again.json")
    assert done.returncode == 0, done.stderr
    assert json.loads((tmp_path / "again.json").read_text(encoding="utf-8"))["document"] == "pole-design"


def test_a_cluster_without_an_answer_is_refused(polewright, small):
    done = polewright("find", small(), "--cluster", "tcp://127.0.0.1:9")
    assert done.returncode == 2
    assert said("field.cluster") in done.stderr
    assert "tcp://127.0.0.1:9" in done.stderr


def test_an_interrupt_ends_in_words_with_the_best_so_far_or_nothing(tmp_path):
    state = tmp_path / "search.state"
    files = ("--out", tmp_path / "best.toml", "--state", state)
    running = subprocess.Popen(
        [Path(sys.executable).parent / "polewright", "find", BRIEFS / "six-sections.toml", *files],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=dict(os.environ, COLUMNS="132", NO_COLOR="1"),
    )
    while not state.exists() and running.poll() is None:  # the first checkpoint, or a machine so quick that it is done
        time.sleep(0.01)
    running.send_signal(signal.SIGINT)
    printed, refused = running.communicate(timeout=120)
    assert "Traceback" not in refused
    assert running.returncode in {0, 2}
    assert (running.returncode == 0) == (tmp_path / "best.toml").exists()
    assert (running.returncode == 2) == bool(refused)
    assert state.exists() or plain_text(said("find.stopped")) not in printed
