"""Every code that is used has a text, every text is used, and each text has places for the values it is given."""

import ast
import json
import re
import string
from pathlib import Path

import pytest

from polewright.words import languages
from polewright.words.catalogue import catalogue

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / "polewright"
CATALOGUES = SOURCE / "words" / "catalogues"
CODE = re.compile(r"[a-z][a-z0-9_]*(\.[A-Za-z0-9_]+)+")
CALLS = ("Message", "say", "said", "t")


def texts_of(language: str) -> dict[str, object]:
    return json.loads((CATALOGUES / f"{language}.json").read_text(encoding="utf-8"))


def string_literals() -> set[str]:
    """All texts that stand in the code and the page templates, and the fixed beginnings of those put together."""
    found: set[str] = set()
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(node.value)
    for path in (*SOURCE.rglob("*.html"), *SOURCE.rglob("*.typ")):
        found.update(a or b for a, b in re.findall(r"\"([^\"\n]*)\"|'([^'\n]*)'", path.read_text(encoding="utf-8")))
    return found


def codes_called() -> dict[str, set[str]]:
    """Codes given to a message or a reader in the code, with the names of the values beside them."""
    found: dict[str, set[str]] = {}
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call) or not node.args or not isinstance(node.args[0], ast.Constant):
                continue
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            code = node.args[0].value
            if name in CALLS and isinstance(code, str) and CODE.fullmatch(code):
                given = {k.arg for k in node.keywords if k.arg}
                if any(k.arg is None for k in node.keywords):
                    given = {"**"}
                found.setdefault(code, set()).update(given)
    for path in SOURCE.rglob("*.html"):
        for code in re.findall(r"\bt\(['\"]([a-z0-9_.]+)['\"]", path.read_text(encoding="utf-8")):
            found.setdefault(code, set()).add("**")
    return found


def places_of(text: object) -> set[str]:
    forms = [text] if isinstance(text, str) else next(iter(text.values()))
    return {name for form in forms for _, name, _, _ in string.Formatter().parse(form) if name is not None}


def is_opening(code: str, texts: dict[str, object]) -> bool:
    """Whether a template puts the rest of the code together, as in t("place." ~ place), and there are such texts."""
    return code.endswith(".") and any(known.startswith(code) for known in texts)


@pytest.mark.slow
def test_every_code_that_is_used_has_a_text():
    texts = texts_of("en")
    missing = sorted(code for code in codes_called() if code not in texts and not is_opening(code, texts))
    assert not missing


@pytest.mark.slow
def test_every_text_is_used():
    literals = string_literals() | set(codes_called())
    prefixes = tuple(text for text in literals if text.endswith(".") and CODE.match(f"{text}x"))
    forms = {f"{form.removeprefix('code.')}." for text in texts_of("en").values()
             for form in re.findall(r":(code\.[a-z0-9_.]+)\}", json.dumps(text))}  # fmt: skip
    unused = [c for c in texts_of("en") if c and c not in literals and not c.startswith((*prefixes, *forms))]
    assert not unused


@pytest.mark.slow
def test_a_text_has_no_place_without_its_value():
    texts = texts_of("en")
    wrong = {
        code: places_of(texts[code]) - given
        for code, given in codes_called().items()
        if code in texts and "**" not in given and places_of(texts[code]) - given
    }
    assert not wrong


REFUSALS = ("Absent", "DesignError", "Fault", "NotConverged", "Overtaken", "PolewrightError", "StockError", "Stopped",
            "StoreFault", "at")  # fmt: skip


def wants_in_words(tree: ast.AST) -> list[str]:
    """What refusals in the code say would be right where it is text and no message."""
    found = []
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        given = node.args[0].elts if node.args and isinstance(node.args[0], ast.Tuple) else node.args
        wants = [*(given[2:3] if name in REFUSALS else ()), *(k.value for k in node.keywords if k.arg == "want")]
        texts = [want for want in wants if isinstance(want, ast.Constant | ast.JoinedStr)]
        found += [ast.unparse(want) for want in texts if not (isinstance(want, ast.Constant) and not want.value)]
    return found


@pytest.mark.slow
def test_no_refusal_has_words_of_its_own():
    assert wants_in_words(ast.parse("raise DesignError('span', 0.0, f'more than {least}')")) == ["f'more than {least}'"]
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in SOURCE.rglob("*.py")}
    assert {str(path): wants for path, tree in trees.items() if (wants := wants_in_words(tree))} == {}


@pytest.mark.parametrize("language", languages())
def test_a_catalogue_is_sorted_and_each_key_a_code(language: str):
    keys = [key for key in texts_of(language) if key]
    assert keys == sorted(keys)
    assert all(CODE.fullmatch(key) for key in keys)


@pytest.mark.parametrize("language", languages()[1:])
def test_a_translation_has_the_places_of_the_english_text(language: str):
    english = texts_of("en")
    for code, text in texts_of(language).items():
        assert not code or places_of(text) == places_of(english[code]), code


@pytest.mark.parametrize("language", [*languages(), "x-marked", "x-reworded"])
def test_every_language_can_write_numbers_and_plurals(language: str):
    found = catalogue(language)
    assert found.decimal in ".,"
    assert found.plural_form(1) == 0
