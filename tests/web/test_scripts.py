"""Scripts of the pages as files: the library is the one its note names, and no script shows a text of its own."""

import hashlib
import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

STATIC = Path(__file__).parents[2] / "src" / "polewright" / "web" / "static"
SCRIPTS = sorted(STATIC.glob("*.js"))


def test_the_vendored_library_is_as_its_note_says() -> None:
    vendor = STATIC / "vendor"
    mark = hashlib.sha256((vendor / "htmx.esm.min.js").read_bytes()).hexdigest()
    assert f"sha256 of htmx.esm.min.js: {mark}" in (vendor / "README.md").read_text(encoding="utf-8")
    assert 'version="4.0.1"' in (vendor / "htmx.esm.min.js").read_text(encoding="utf-8")


def test_every_text_that_a_script_shows_comes_with_the_page_and_none_is_left_over(client: Any) -> None:
    page = client.get("/poles/reedlight-7/wall").text
    listed = page[page.index('<template id="script-texts"') : page.index("</template>")]
    brought = {
        re.sub("-(.)", lambda found: found[1].upper(), name) for name in re.findall(r'\bdata-([a-z-]+)="[^"]', listed)
    }
    code = "\n".join(path.read_text(encoding="utf-8") for path in SCRIPTS)
    calls = re.findall(r"\btext\(([^()]*)\)", code)
    assert {name for call in calls for name in re.findall(r'"(\w+)"', call)} == brought


def test_scripts_are_small_typed_and_reached_from_the_page() -> None:
    reached = set(re.findall(r'import "\./(\w+\.js)"', (STATIC / "app.js").read_text(encoding="utf-8")))
    for path in SCRIPTS:
        lines = path.read_text(encoding="utf-8").splitlines()
        assert len(lines) < 150, path.name
        assert lines[0] == "// @ts-check", path.name
        reached |= set(re.findall(r'from "\./(\w+\.js)"', "\n".join(lines)))
    assert reached == {path.name for path in SCRIPTS} - {"app.js"}


def test_a_script_is_kept_by_the_browser_under_an_address_that_changes_with_any_of_them(client: Any) -> None:
    page = client.get("/poles/reedlight-7/wall").text
    found = re.search(r'src="(/static/\w{12}/app\.js)"', page)
    assert found is not None
    answer = client.get(found[1])
    assert answer.status_code == 200
    assert "immutable" in answer.headers["cache-control"]
    assert client.get(found[1].replace("app.js", "edits.js")).status_code == 200


def test_types_and_lint_of_the_scripts_are_clean() -> None:
    home = STATIC.parents[3]
    npm = shutil.which("npm")
    if npm is None or not (home / "node_modules" / ".bin" / "tsc").exists():
        words = "the tools for scripts are not installed; install them with: make .stamps/scripts"
        if os.environ.get("CI"):
            pytest.fail(words)
        pytest.skip(words)
    done = subprocess.run(
        [npm, "run", "-s", "check"], cwd=home, capture_output=True, text=True, check=False, timeout=120
    )
    assert done.returncode == 0, done.stdout + done.stderr
