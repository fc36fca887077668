"""The wheel has all that the program needs: installed by itself, away from the checkout, it works like the checkout."""

import os
import re
import signal
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src"
DESIGN = ROOT / "examples" / "reedlight-7.toml"
LINK = re.compile(r'(?:href|src)="(/[^"#]*)"')
FONT = re.compile(r"url\(['\"]?([^'\")]+)")


def run(*command: object, folder: Path, **more: str) -> subprocess.CompletedProcess[str]:
    """Run a command outside the checkout, with nothing of it on the path and no kernel to compile."""
    environment = {k: v for k, v in os.environ.items() if k not in {"PYTHONPATH", "POLEWRIGHT_LANGUAGE"}}
    environment |= {"NUMBA_DISABLE_JIT": "1", "NO_COLOR": "1", "COLUMNS": "132", "XDG_DATA_HOME": str(folder)}
    words = [str(word) for word in command]
    return subprocess.run(words, cwd=folder, env=environment | more, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    done = run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", folder, folder=ROOT)
    assert done.returncode == 0, done.stderr
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder outside the checkout with an environment `own` that holds the locked packages and the wheel alone."""
    folder = tmp_path_factory.mktemp("elsewhere")
    assert run(sys.executable, "-m", "venv", "--without-pip", "own", folder=folder).returncode == 0
    uv = Path(sys.executable).parent / "uv"
    install = [uv, "pip", "install", "-q", "--python", folder / "own" / "bin" / "python"]
    done = run(*install, "--require-hashes", "-r", ROOT / "requirements.lock", folder=folder)
    if done.returncode and not os.environ.get("CI"):
        pytest.skip(f"the locked packages cannot be had here: {done.stderr[-200:]}")
    assert done.returncode == 0, done.stderr
    done = run(*install, "--no-deps", wheel, folder=folder)
    assert done.returncode == 0, done.stderr
    (folder / DESIGN.name).write_bytes(DESIGN.read_bytes())
    return folder


def test_every_file_of_the_package_is_in_the_wheel(wheel: Path):
    kept = {
        p.relative_to(SOURCE).as_posix()
        for p in (SOURCE / "polewright").rglob("*")
        if p.is_file() and "__pycache__" not in p.parts
    }
    with zipfile.ZipFile(wheel) as archive:
        packed = {name for name in archive.namelist() if ".dist-info/" not in name}
    assert {"polewright/words/catalogues/en.json", "polewright/web/static/app.js"} <= packed
    assert packed == kept


@pytest.mark.slow
def test_an_installed_check_prints_what_the_checkout_prints(installed: Path):
    there = run("own/bin/polewright", "check", DESIGN.name, folder=installed)
    here = run(
        Path(sys.executable).parent / "polewright", "check", DESIGN.name, folder=installed, PYTHONPATH=str(SOURCE)
    )
    assert there.returncode == 0, there.stderr
    assert there.stdout == here.stdout


@pytest.mark.slow
def test_an_installed_program_is_its_own(installed: Path):
    done = run("own/bin/python", "-c", "import polewright; print(polewright.__file__)", folder=installed)
    assert Path(done.stdout.strip()).is_relative_to(installed)


@pytest.mark.slow
@pytest.mark.parametrize("language", ["en", "de"])
def test_an_installed_program_makes_a_sheet(installed: Path, language: str):
    out = installed / f"{language}.pdf"
    words = ("sheet", DESIGN.name, "--language", language, "--out", out)
    done = run(
        "own/bin/polewright", *words, folder=installed, NUMBA_DISABLE_JIT="0"
    )  # a thousand poles by plain Python
    assert done.returncode == 0, done.stderr
    assert out.read_bytes().startswith(b"%PDF-")


@pytest.fixture(scope="module")
def served(installed: Path) -> Iterator[httpx.Client]:
    """The app of the installed program, opened as a person would."""
    command = [installed / "own/bin/polewright", "open", "--no-browser", "--store", "shop.sqlite"]
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"} | {"NUMBA_DISABLE_JIT": "1"}
    with subprocess.Popen(command, cwd=installed, env=environment, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            address = re.match(r"http://\S+", process.stdout.readline())
            assert address, process.poll()
            with httpx.Client(base_url=address[0], timeout=120.0, follow_redirects=True) as client:
                yield client
        finally:
            process.send_signal(signal.SIGINT)


@pytest.mark.slow
def test_an_installed_app_serves_its_pages_with_all_they_link_to(served: httpx.Client):
    page = served.get("/poles/reedlight-7/wall")
    assert page.status_code == 200
    links = {link for link in LINK.findall(page.text) if "/static/" in link or link.endswith(".css")}
    assert {Path(link).suffix for link in links} >= {".css", ".js", ".svg"}
    for link in links:
        answer = served.get(link)
        assert answer.status_code == 200, link
        for font in FONT.findall(answer.text) if link.endswith("fonts.css") else ():
            assert served.get(str(answer.url.join(font))).status_code == 200, font


@pytest.mark.slow
def test_an_installed_app_makes_papers(served: httpx.Client):
    answer = served.get("/poles/reedlight-7/kit/section/1/card")
    assert answer.status_code == 200
    assert answer.content.startswith(b"%PDF-")


@pytest.mark.slow
def test_an_installed_app_answers_programs(served: httpx.Client):
    assert served.get("/openapi.json").status_code == 200
