"""The tool itself: what it plants, what it leaves alone, whom it asks, and that a planted fault is noticed."""

import ast
import textwrap
from functools import cache, partial
from pathlib import Path

import pytest

from tests.mutants.cover_map import Test, read_map
from tests.mutants.cover_parts import cover_map, follow_renames
from tests.mutants.drawing import all_faults, drawn
from tests.mutants.fault import KINDS, Fault, read
from tests.mutants.kept_outcomes import keep, noticed
from tests.mutants.named import named_faults
from tests.mutants.python_sites import python_faults
from tests.mutants.report import as_entry, reasons, report, share
from tests.mutants.table_sites import table_faults
from tests.mutants.trees import Tree
from tests.mutants.trial import Bench, Outcome, in_order
from tests.mutants.type_check import GATE, TypeCheck

ROOT = Path(__file__).parents[2]
TEXTS = cache(partial(read, ROOT))


def planted(code: str, kind: str) -> list[str]:
    text = textwrap.dedent(code).lstrip()
    return [f.planted(text).strip() for f in python_faults("a.py", text) if f.kind == kind]


@pytest.mark.parametrize(
    ("code", "kind", "becomes"),
    [
        ("x = 3", "constant", ["x = 4", "x = 2"]),
        ("x = True", "constant", ["x = False"]),
        ("x = a + b", "operator", ["x = a - b"]),
        ("x = a and b", "operator", ["x = a or b"]),
        ("x = a < b", "comparison", ["x = a <= b", "x = a >= b"]),
        ("x = a < 1e-9", "comparison", ["x = a >= 1e-9"]),
        ("x = a >= 1e-9", "comparison", ["x = a < 1e-9"]),
        ("x = a < b - 1e-9", "comparison", ["x = a >= b - 1e-9"]),
        ("x = a < b * 1e-9", "comparison", ["x = a >= b * 1e-9"]),
        ("x = a not in b", "comparison", ["x = a in b"]),
        ("x = a + b * c", "dropped term", ["x = a", "x = (b * c)", "x = a + b", "x = a + c"]),
        ("x = a and b", "dropped term", ["x = (b)", "x = (a)"]),
        ("x = f(a, b)", "swapped arguments", ["x = f(b, a)"]),
        ("x = f(a=p, b=q)", "swapped arguments", ["x = f(a=q, b=p)"]),
        ('x = to(v, "mm")', "wrong unit", ['x = to(v, "cm")', 'x = to(v, "m")', 'x = to(v, "µm")']),
        ('x = si("out_g", v)', "wrong unit", ['x = si("out_kg", v)', 'x = si("out_mg", v)', 'x = si("out_oz", v)']),
        ('x = f"{v:.1f} mm"', "wrong unit", ['x = f"{v:.2f} mm"', 'x = f"{v:.0f} mm"']),
    ],
)
def test_a_fault_of_each_kind_is_planted(code, kind, becomes):
    assert planted(code, kind) == becomes


@pytest.mark.parametrize(
    "code",
    [
        '"""Three of 3."""',
        "x: Literal[3]",
        '__all__ = ["a", "b"]',
        "assert x > 3",
        'log.info("%d of 3", 4)',
        "f = lru_cache(maxsize=3)",
        "if TYPE_CHECKING:\n    x = 3",
        "x = max(a, b)",
        "x = 1e-12",
    ],
)
def test_what_no_test_could_notice_is_left_alone(code):
    assert python_faults("a.py", code + "\n") == []


def test_a_check_inside_an_annotation_is_no_annotation():
    assert planted("x: Annotated[float, Field(gt=0.0)]", "constant") == ["x: Annotated[float, Field(gt=1.0)]"]


def test_units_and_decimals_of_a_text_in_a_catalogue_are_given_faults():
    text = '{\n"gap.told": "a gap of {gap:length.3} at {name}",\n"heavy": "{mass:mass.1@kg}"\n}\n'
    lines = {f.planted(text).splitlines()[f.line - 1] for f in table_faults("en.json", text)}
    assert '"gap.told": "a gap of {gap:length.2} at {name}",' in lines
    assert any("gap:reach.3" in line for line in lines)
    assert '"heavy": "{mass:mass.1@g}"' in lines
    assert {f.names for f in table_faults("en.json", text)} == {("gap.told",), ("heavy",)}


@pytest.mark.slow
def test_every_fault_of_the_package_leaves_code_that_can_be_read():
    faults = drawn(all_faults(ROOT), 600, 1, TEXTS)
    assert {f.kind for f in faults} == set(KINDS)
    for fault in faults:
        if fault.path.endswith(".py"):
            ast.parse(fault.planted((ROOT / fault.path).read_text(encoding="utf-8")))


@pytest.mark.slow
def test_a_draw_is_the_same_for_the_same_seed_with_each_kind_in_equal_share():
    faults = all_faults(ROOT, ("documents", "web"))
    first = drawn(faults, 60, 5, TEXTS)
    assert first == drawn(faults, 60, 5, TEXTS) != drawn(faults, 60, 6, TEXTS)
    assert [sum(f.kind == kind for f in first) for kind in KINDS] == [10] * len(KINDS)


def test_a_change_of_one_line_leaves_the_rest_of_a_draw():
    faults = all_faults(ROOT, ("documents", "web"))
    first = drawn(faults, 60, 5, TEXTS)
    changed = [fault for fault in faults if (fault.path, fault.line) != (first[0].path, first[0].line)]
    kept = drawn(changed, 60, 5, TEXTS)
    assert len(set(first) & set(kept)) >= 58


def test_survivors_alone_are_tried_again(tmp_path):
    faults = drawn(all_faults(ROOT, ("api",)), 12, 5, TEXTS)
    file = tmp_path / "outcomes.json"
    assert noticed(file, ROOT, faults) == []
    keep(file, ROOT, [Outcome(fault, "a test" if i % 2 else None, 1, 0.1) for i, fault in enumerate(faults)])
    assert [o.fault for o in noticed(file, ROOT, faults)] == faults[1::2]
    keep(file, ROOT, [Outcome(faults[0], "a test", 1, 0.1)])
    assert [o.fault for o in noticed(file, ROOT, faults)] == [faults[0], *faults[1::2]]


def test_tests_of_the_same_room_and_kept_figures_come_before_the_others():
    fault = drawn(all_faults(ROOT, ("web",)), 1, 5, TEXTS)[0]
    slow = [Test(f"tests/{room}/test_slow.py::a", 100.0, False) for room in ("api", "kept", "web")]
    quick = [Test(f"tests/{room}/test_quick.py::a", 9.0, False) for room in ("web", "shop")]
    first = Test("tests/api/test_first.py::a", 0.1, False)
    order = [t.file.removeprefix("tests/").removesuffix(".py") for t in in_order(fault, [[first, *quick, *slow]])]
    assert order[:4] == ["api/test_first", "web/test_quick", "kept/test_slow", "web/test_slow"]
    assert set(order[4:]) == {"shop/test_quick", "api/test_slow"}


def test_what_stands_outside_of_functions_is_asked_of_the_tests_that_keep_tables(tmp_path):
    (tmp_path / "a.py").write_text("def f(x: Annotated[int, Field(le=9)]):\n    return x + 1\n", encoding="utf-8")
    names = ("t.py::one", "tests/kept/t.py::a[limits of documents]", "t.py::two")
    kept = {"tests": [[name, 0.1, False] for name in names], "lines": {"a.py": {"2": [0]}}}
    head, *_, body = python_faults("a.py", (tmp_path / "a.py").read_text(encoding="utf-8"))
    assert (head.line, body.line) == (1, 2)
    of_tables = ["tests/kept/t.py::a[limits of documents]"]
    assert [t.name for t in in_order(head, read_map(tmp_path, kept).choice(head))] == ["t.py::one", *of_tables]
    assert [t.name for t in in_order(body, read_map(tmp_path, kept).choice(body))] == ["t.py::one"]


def test_every_named_fault_matches_one_place():
    assert len(named_faults(ROOT)) >= 7


def test_a_reason_is_found_again_when_lines_have_moved(tmp_path):
    file = tmp_path / "a.py"
    file.write_text("def f(x):\n    return x + 1\n", encoding="utf-8")
    fault = next(f for f in python_faults("a.py", file.read_text(encoding="utf-8")) if f.kind == "operator")
    known = tmp_path / "known.toml"
    known.write_text(as_entry(tmp_path, fault).replace("reason = ''", "reason = 'x is never shown'"), encoding="utf-8")
    file.write_text("import os\n\n\ndef f(x):\n    return x + 1\n", encoding="utf-8")
    text = file.read_text(encoding="utf-8")
    moved = next(f for f in python_faults("a.py", text) if f.kind == "operator")
    assert reasons(known)[moved.key(text)] == "x is never shown"
    told = report(tmp_path, [Outcome(moved, None, 3, 1.0)], reasons(known))
    assert "known: x is never shown" in told
    assert share([Outcome(moved, None, 3, 1.0), Outcome(moved, "a test", 1, 1.0)]) == 0.5


def test_a_line_outside_functions_is_seen_by_the_tests_that_use_its_name(tmp_path):
    (tmp_path / "a.py").write_text("LIMIT = 3\n\n\ndef f(x):\n    return x < LIMIT\n", encoding="utf-8")
    kept = {"tests": [["t.py::one", 0.1, False], ["t.py::two", 0.2, False]], "lines": {"a.py": {"5": [1]}}}
    fault = next(f for f in python_faults("a.py", (tmp_path / "a.py").read_text(encoding="utf-8")) if f.line == 1)
    assert [t.name for t in read_map(tmp_path, kept).choice(fault)[0]] == ["t.py::two"]


def test_a_file_under_another_name_keeps_its_lines(tmp_path):
    old, new, other = (f"src/polewright/shop/{name}.py" for name in ("price", "cost", "flag"))
    text = "def price(x):\n    y = 2 * x\n    return y\n"
    (tmp_path / "1.text").write_text(text, encoding="utf-8")
    (tmp_path / new).parent.mkdir(parents=True)
    (tmp_path / new).write_text(f"import math\n{text}", encoding="utf-8")
    (tmp_path / other).write_text("WIDTH = 3\n", encoding="utf-8")
    part = {"sources": {old: "1"}, "lines": {old: {"2": [0]}}}
    follow_renames(tmp_path, tmp_path, part, {new: "2", other: "3"})
    assert part == {"sources": {new: "1"}, "lines": {new: {"2": [0]}}}


def test_a_line_that_no_test_is_seen_to_run_is_asked_of_the_tests_of_its_folder(tmp_path):
    (tmp_path / "jobs").mkdir()
    for name in ("jobs/work.py", "jobs/queue.py", "price.py"):
        (tmp_path / name).write_text("def f(x):\n    return x + 1\n", encoding="utf-8")
    lines = {"jobs/queue.py": {"2": [1]}, "price.py": {"2": [0]}}
    kept = {"tests": [["t.py::one", 0.1, False], ["t.py::two", 0.2, False]], "lines": lines}
    fault = python_faults("jobs/work.py", (tmp_path / "jobs/work.py").read_text(encoding="utf-8"))[0]
    assert [[t.name for t in group] for group in read_map(tmp_path, kept).choice(fault)] == [["t.py::two"]]


@pytest.fixture
def small_tree(tmp_path) -> Path:
    """A tree of one function, a test that sees what it does, in a process of its own too, and one that does not."""
    root = tmp_path / "tree"
    for name, text in {
        "src/polewright/__init__.py": "",
        "src/polewright/shop/__init__.py": "",
        "src/polewright/shop/price.py": (
            "def price(x, y):\n    return x + y\n\n\ndef spare(x):\n    return x + 1\n\n\n"
            "def kept(x):\n    return x + 2\n"
        ),
        "tests/test_price.py": (
            "import subprocess, sys\nfrom polewright.shop.price import kept, price, spare\n\n\nKEPT = kept(1)\n\n\n"
            "def test_kept():\n    assert KEPT == 3\n\n\n"
            "def test_price():\n    assert price(1, 2) == 3\n\n\ndef test_runs():\n    spare(1)\n\n\n"
            "def test_child():\n    code = 'from polewright.shop.price import price; print(price(2, 2))'\n"
            "    assert subprocess.run([sys.executable, '-c', code], capture_output=True).stdout\n"
        ),
        "pytest.ini": "[pytest]\npythonpath = .\naddopts = --import-mode=importlib\n",
    }.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text, encoding="utf-8")
    return root


@pytest.mark.slow
def test_a_whole_campaign_on_a_small_tree(small_tree, tmp_path, monkeypatch):
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    cover = cover_map(small_tree, tmp_path / "cache")
    lines = cover.lines["src/polewright/shop/price.py"]
    names = {n: {cover.tests[i].name.rpartition("::")[2] for i in lines[n]} for n in (2, 6)}
    assert names == {2: {"test_price", "test_child"}, 6: {"test_runs"}}
    faults = [f for f in all_faults(small_tree) if f.kind == "operator"]
    told: list[Outcome] = []
    bench = Bench.set_up(small_tree, tmp_path / "cache", cover, workers=1, seconds=30.0)
    try:
        found = {o.fault.scope: o.by for o in bench.try_all(faults, told.append)}
    finally:
        bench.end()
    kept = "tests/test_price.py::test_kept"
    assert found == {"price": "tests/test_price.py::test_price", "spare": None, "kept": kept}
    assert len(told) == 3
    assert isinstance(told[0].fault, Fault)
    assert "x + y" in (small_tree / "src/polewright/shop/price.py").read_text(encoding="utf-8")


@pytest.mark.slow
def test_a_fault_whose_types_do_not_hold_is_noticed_by_the_gate(small_tree, tmp_path):
    path, text = "src/polewright/shop/price.py", "def price(x: int, y: str) -> str:\n    return y * x\n\n\n"
    text += "def two(x: int) -> str:\n    return price(x, str(x + 1))\n"
    for name, content in {
        path: text,
        GATE.partition("::")[0]: "",
        "pyproject.toml": '[tool.mypy]\nstrict = true\nfiles = ["src"]\n',
    }.items():
        (small_tree / name).parent.mkdir(parents=True, exist_ok=True)
        (small_tree / name).write_text(content, encoding="utf-8")
    tree, types = Tree.copied(small_tree, tmp_path / "copy"), TypeCheck(small_tree)
    faults = {kind: next(f for f in python_faults(path, text) if f.kind == kind) for kind in KINDS[:5:4]}
    assert {kind: types.notices(tree, fault) for kind, fault in faults.items()} == {
        "constant": False,
        "swapped arguments": True,
    }
    assert read(tree.root, path) == text
