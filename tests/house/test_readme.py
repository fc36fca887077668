import contextlib
import io
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.usefixtures("in_english")
def test_readme_example_prints_what_is_shown(monkeypatch):
    monkeypatch.chdir(ROOT)
    code, shown = re.search(r"```python\n(.*?)```\s+```text\n(.*?)```", README, re.S).groups()
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        exec(compile(code, "README", "exec"), {"__name__": "readme"})
    assert printed.getvalue().strip() == shown.strip()


def test_readme_names_targets_commands_and_files_that_exist():
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    for target in re.findall(r"^make (\w+)", README, re.M):
        assert f"\n{target}:" in makefile
    for link in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / link).exists(), link
    commands = (ROOT / "src" / "polewright" / "cli" / "app.py").read_text(encoding="utf-8")
    for name in re.findall(r"^\| `polewright (\w+)", README, re.M):
        assert re.search(rf'(def {name}\(|name="{name}"|"{name}")', commands), name
