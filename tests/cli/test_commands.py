import json
import re
import tomllib
from pathlib import Path

import jsonschema
import pytest
import tomli_w
from tests.said import refused_in_file, said

from polewright.codes import Message
from polewright.words.reports.plain import plain_text

ROOT = Path(__file__).parents[2]


def test_check_prints_tables_that_hold_the_figures(polewright, reedlight):
    done = polewright("check", reedlight)
    assert done.returncode == 0, done.stderr
    for words in (
        "Reedlight 7",
        "4.27\u00a0kg·m",
        "90 TH55 / 0 SM150 x5 / 90 TH55",
        "199-273",
        said("cli.check.joints.default"),
        said("caution.overhead_lines.title"),
        said("check.caution.proof"),
    ):
        assert words in done.stdout
    assert done.stderr == ""


@pytest.mark.slow
def test_check_supposes_other_figures_in_every_form(polewright, reedlight):
    for command, *more in (("check",), ("check", "--json"), ("check", "--wall", "2"), ("hold", "--lean", "60")):
        done = polewright(command, reedlight, "--if", "joints.pivot_pct=0", "--if", "joints.play_mrad=1", *more)
        assert done.returncode == 0, done.stderr
    ranked = polewright("rank", reedlight, reedlight, "--if", "joints.overlap_mm=250", "--json")
    figure = Message("cli.supposed.figure", field="joints.overlap_mm", value="250")
    name = said("cli.supposed.name", name="Reedlight 7", figures=(figure,))
    assert {r["name"] for r in json.loads(ranked.stdout)["designs"]} == {name}
    wrong = polewright("check", reedlight, "--if", "joints.pivot_pct=140")
    assert wrong.returncode == 2
    assert wrong.stdout == ""
    most = Message("limit.le", limit=Message("bound.share", value=1.0))
    assert plain_text(refused_in_file("joints[3].pivot_pct", "'140'", most)) in wrong.stderr


def test_check_as_json_fits_its_published_schema(polewright, reedlight):
    report = json.loads(polewright("check", reedlight, "--json").stdout)
    schema = json.loads(polewright("schema", "check-report").stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(report, schema)
    assert report["reaches"][-1]["droop_own_small_mm"] == pytest.approx(383, rel=0.02)


def test_several_designs_are_ranked(polewright):
    files = sorted((ROOT / "examples" / "options").glob("*.toml"))
    done = polewright("rank", *files)
    assert done.returncode == 0
    assert re.search(r"1 +Reedlight 7 B", done.stdout)
    ranking = json.loads(polewright("rank", *files, "--json").stdout)
    printed = plain_text(done.stdout)
    for text in (*ranking["offers"], *(says for design in ranking["designs"] for says in design["says"])):
        assert text in printed
    jsonschema.validate(ranking, json.loads(polewright("schema", "ranking").stdout))


@pytest.mark.parametrize("kind", ["pole-design", "brief", "material", "mandrel", "test-record"])
def test_every_schema_is_published_and_sound(polewright, kind):
    assert kind in polewright("schema").stdout.split()
    schema = json.loads(polewright("schema", kind).stdout)
    jsonschema.Draft202012Validator.check_schema(schema)


def test_example_fits_the_published_schema(polewright, reedlight):
    schema = json.loads(polewright("schema", "pole-design").stdout)
    jsonschema.validate(tomllib.loads(reedlight.read_text(encoding="utf-8")), schema)


def test_kit_writes_every_file_or_none(polewright, reedlight, tmp_path):
    done = polewright("kit", reedlight, "--out", tmp_path / "kit")
    assert done.returncode == 0, done.stderr
    names = {p.name for p in (tmp_path / "kit").iterdir()}
    for n in range(1, 6):
        assert {f"reedlight-7-s{n}.dxf", f"reedlight-7-s{n}.svg", f"reedlight-7-s{n}-card.pdf"} <= names
    assert "reedlight-7-cut-list.csv" in names
    assert not [n for n in names if n.startswith(".")]
    dust = {name: said(f"caution.carbon_dust.{name}") for name in ("title", "says")}
    assert said("cli.kit.caution", **dust) in done.stdout


def test_sheet_hides_the_recipe(polewright, reedlight, tmp_path):
    done = polewright("sheet", reedlight, "--out", tmp_path / "sheet.pdf")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF")


def test_bench_keeps_a_tube_test_and_lists_it(polewright, reedlight):
    done = polewright(
        "bench",
        "tube",
        reedlight,
        "--serial",
        "RL7-0412-S3",
        "--section",
        3,
        "--span",
        "1.4 m",
        "--reading",
        "500 g=1.00 mm",
        "--reading",
        "500g=1.01",
        "--reading",
        "2,5 kg=2.40",
        "--reading",
        "2500=2,41 mm",
    )
    assert done.returncode == 0, done.stderr
    assert said("bench.what.bending", section=3) in done.stdout
    assert "833." in done.stdout
    assert said("cli.bench.note", note=said("bench.note.blind_to_hoop")) in done.stdout
    assert len(done.stdout.splitlines()) == 6
    listed = polewright("bench", "list").stdout
    assert "RL7-0412-S3" in listed
    assert polewright("bench", "list", "--serial", "other").stdout == ""


def test_bench_keeps_a_pole_test(polewright, reedlight):
    done = polewright(
        "bench",
        "pole",
        reedlight,
        "--serial",
        "RL7-0412",
        "--reading",
        "0=389 mm",
        "--reading",
        "250 g=640 mm",
        "--reading",
        "500g=886",
        "--reading",
        "750g=1128",
        "--json",
    )
    assert done.returncode == 0, done.stderr
    result = json.loads(done.stdout)
    assert result["unit"] == "mm per 100 g"
    assert result["measured"] == pytest.approx(97.6, rel=0.02)
    assert result["verdict"] in ("agrees", "cannot tell")


def test_a_test_of_any_kind_is_added_by_its_fields(polewright, reedlight):
    readings = ("--reading", "500 g=1.00 mm", "--reading", "2.5 kg=2.40 mm")
    fields = ("--set", "section=3", "--set", "span_mm=1.4 m")
    own = polewright("bench", "add", reedlight, "bend", "--serial", "S3", *fields, *readings, "--json")
    assert own.returncode == 0, own.stderr
    tube = ("tube", reedlight, "--serial", "S3", "--section", 3, "--span", "1.4 m", *readings, "--json")
    assert json.loads(own.stdout) == json.loads(polewright("bench", *tube).stdout)
    wrong = polewright("bench", "add", reedlight, "weigh", "--serial", "S3")
    assert wrong.returncode != 0
    assert "bend" in wrong.stderr


def test_a_tube_is_weighed_and_measured(polewright, reedlight):
    fields = ("--set", "section=3", "--set", "mass_g=310 g", "--set", "outside_mm=38.2")
    done = polewright("bench", "add", reedlight, "tube", "--serial", "S3", *fields)
    assert done.returncode == 0, done.stderr
    assert said("bench.what.mass", section=3) in done.stdout
    assert said("bench.name.outside") in done.stdout
    assert "38.20 ±" in done.stdout


def test_bench_record_file_is_kept(polewright, reedlight, tmp_path):
    record = {
        "document": "test-record",
        "schema_version": 1,
        "serial": "RL7-9",
        "tester": "roller",
        "test": {
            "kind": "two-load bend",
            "section": 5,
            "span_mm": 1500,
            "readings": [{"load_g": 500, "reading_mm": 0.0}, {"load_g": 3000, "reading_mm": 1.36}],
        },
    }
    (tmp_path / "t.toml").write_text(tomli_w.dumps(record), encoding="utf-8")
    done = polewright("bench", "record", reedlight, "t.toml")
    assert done.returncode == 0, done.stderr
    assert "RL7-9" in polewright("bench", "list").stdout


def test_what_cannot_be_evaluated_is_not_kept(polewright, reedlight):
    done = polewright(
        "bench",
        "tube",
        reedlight,
        "--serial",
        "X1",
        "--section",
        3,
        "--span",
        "1.4 m",
        "--reading",
        "500=2.0",
        "--reading",
        "2500=1.0",
    )
    assert done.returncode == 2
    assert polewright("bench", "list").stdout == ""


@pytest.mark.slow
def test_backup_restores_into_an_empty_place(polewright, reedlight, tmp_path):
    polewright(
        "bench",
        "tube",
        reedlight,
        "--serial",
        "B1",
        "--section",
        3,
        "--span",
        "1.4 m",
        "--reading",
        "500=1.0",
        "--reading",
        "2500=2.4",
    )
    assert polewright("store", "backup", tmp_path / "copy.zip").returncode == 0
    assert polewright("store", "restore", tmp_path / "copy.zip", "--store", tmp_path / "new.sqlite").returncode == 0
    assert "B1" in polewright("bench", "list", "--store", tmp_path / "new.sqlite").stdout
    again = polewright("store", "restore", tmp_path / "copy.zip", "--store", tmp_path / "new.sqlite")
    assert again.returncode == 2
    assert "Traceback" not in again.stderr


@pytest.mark.slow
def test_installed_command_says_and_refuses_as_in_process(polewright, polewright_process, reedlight, tmp_path):
    for words in (("check", reedlight, "--json"), ("check", "absent.toml"), ("schema",)):
        inside, outside = polewright(*words), polewright_process(*words)
        assert (inside.returncode, inside.stdout, inside.stderr) == (outside.returncode, outside.stdout, outside.stderr)


def test_a_sheet_may_be_in_a_language_of_its_own(polewright, reedlight, tmp_path):
    for language in ("en", "de"):
        done = polewright("sheet", reedlight, "--language", language, "--out", tmp_path / f"{language}.pdf")
        assert done.returncode == 0, done.stderr
        assert f"/Lang({language})".encode() in (tmp_path / f"{language}.pdf").read_bytes()
    wrong = polewright("sheet", reedlight, "--language", "xx", "--out", tmp_path / "xx.pdf")
    assert wrong.returncode == 2
    assert "--language" in wrong.stderr
    assert not (tmp_path / "xx.pdf").exists()
