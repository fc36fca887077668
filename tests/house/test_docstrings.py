"""Every public function of the core says its units, shapes and sources."""

import ast
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "polewright"
ROOMS = ("conventions", "materials", "wall", "pole", "scatter", "search")

ARRAY = re.compile(r"FloatArray|ArrayLike|IntArray|NDArray")
NUMBER = re.compile(r"\bfloat\b|FloatArray|ArrayLike")
UNIT = re.compile(r"\[[^\]]+\]")
SHAPE = re.compile(r"\((?:\*?\w|\.\.\.)[^()]*,[^()]*\)|\(\.\.\.\)|\bbroadcast|\bshapes?\b|\bas many\b")
FORMULA = re.compile(r"[\w)\]]\s*=\s*[\w(.-]+[\w).]*\s*[-+*/^]|\b\w+\^\(?\d")


def is_public(name: str) -> bool:
    return not any(part.startswith("_") for part in name.split("."))


def annotations(node: ast.FunctionDef) -> list[str]:
    """Types of the arguments and of the answer, as written."""
    arguments = (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)
    found = [ast.unparse(a.annotation) for a in arguments if a.annotation is not None]
    return found + ([ast.unparse(node.returns)] if node.returns is not None else [])


def lacks(node: ast.FunctionDef, around: str) -> list[str]:
    """What the text of a function leaves out; `around` is the text of its class and of its file."""
    own, types = ast.get_docstring(node) or "", annotations(node)
    text = f"{own}\n{around}" if isinstance(node, ast.FunctionDef) else own
    missing = []
    if any(NUMBER.search(t) for t in types) and not UNIT.search(text):
        missing.append("unit")
    if any(ARRAY.search(t) for t in types) and not SHAPE.search(text):
        missing.append("shape")
    if FORMULA.search(own) and not re.search(r"^Source\n-+", text, re.MULTILINE):
        missing.append("source")
    return missing


def is_overload(node: ast.FunctionDef) -> bool:
    """Whether a signature alone, whose text stands at the function that follows."""
    return any(ast.unparse(decorator) == "overload" for decorator in node.decorator_list)


def functions_of(path: Path) -> list[tuple[str, list[str]]]:
    """Name and lacks of every public function and method of a file."""
    tree = ast.parse(path.read_text("utf-8"))
    file = ast.get_docstring(tree) or ""
    source = file[file.find("Source\n---") :] if "Source\n---" in file else ""
    room = path.relative_to(PACKAGE).with_suffix("").as_posix().replace("/", ".")
    found = []
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and not is_overload(node):
            found.append((f"{room}.{node.name}", lacks(node, source)))
        if isinstance(node, ast.ClassDef):
            text = f"{ast.get_docstring(node) or ''}\n{source}"
            found += [
                (f"{room}.{node.name}.{f.name}", lacks(f, text)) for f in node.body if isinstance(f, ast.FunctionDef)
            ]
    return [(name, missing) for name, missing in found if is_public(name)]


def offenders() -> set[str]:
    files = (path for room in ROOMS for path in sorted((PACKAGE / room).glob("*.py")))
    return {f"{name}: {', '.join(missing)}" for path in files for name, missing in functions_of(path) if missing}


def test_public_functions_of_the_core_say_units_shapes_and_sources():
    assert sorted(offenders()) == []


def lacks_of(code: str) -> list[str]:
    return lacks(ast.parse(code).body[0], "")


def test_a_number_without_unit_an_array_without_shape_and_a_formula_without_source_are_seen():
    assert lacks_of('def f(x: float) -> bool:\n    """Whether x is long."""') == ["unit"]
    assert lacks_of('def f(x: float) -> bool:\n    """Whether x [m] is long."""') == []
    assert lacks_of('def f(x: FloatArray) -> bool:\n    """Whether x [m] are long."""') == ["shape"]
    assert lacks_of('def f(x: FloatArray) -> bool:\n    """Whether x (n_case,) [m] are long."""') == []
    assert lacks_of('def f(n: int) -> int:\n    """w = 3 * n^2"""') == ["source"]
    assert lacks_of('def f(n: int) -> int:\n    """w = 3 * n^2\n\n    Source\n    ------\n    A book.\n    """') == []
