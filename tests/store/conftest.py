"""A store of each kind for the tests of the store: a file, and a private PostgreSQL where one can be started."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from polewright.store import Store, open_store
from polewright.store.content import Content
from polewright.store.poles import add_pole, add_revision, pole_row
from polewright.store.tables import RevisionRow

WHEN = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)
INSTALL = "no PostgreSQL to test with: apt-get install -y postgresql"


@pytest.fixture(scope="session")
def server() -> Iterator[Callable[[str], None]]:
    """A private cluster on a socket; gives a function that runs one of its programs."""
    found = sorted(str(path) for path in Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    initdb = found[-1] if found else shutil.which("initdb")
    if initdb is None or (os.getuid() == 0 and shutil.which("runuser") is None):
        if os.environ.get("CI"):
            pytest.fail(INSTALL)
        pytest.skip(INSTALL)
    programs, folder = Path(initdb).parent, Path(tempfile.mkdtemp(prefix="pw-"))
    folder.chmod(0o755)
    lead: list[str] = []
    if os.getuid() == 0:  # initdb refuses to run as root
        shutil.chown(folder, "postgres")
        lead = ["runuser", "-u", "postgres", "--"]

    def run(program: str, *words: str) -> None:
        subprocess.run([*lead, str(programs / program), *words], check=True, cwd="/", stdout=subprocess.DEVNULL)

    run("initdb", "-D", f"{folder}/data", "-A", "trust", "-U", "app", "--no-sync", "-E", "UTF8", "--locale=C.UTF-8")
    run(
        "pg_ctl",
        "-D",
        f"{folder}/data",
        "-s",
        "-w",
        "-l",
        f"{folder}/log",
        "-o",
        f"-k {folder} -c listen_addresses='' -c fsync=off -c synchronous_commit=off",
        "start",
    )
    run.folder = folder  # type: ignore[attr-defined]
    yield run
    run("pg_ctl", "-D", f"{folder}/data", "-s", "-m", "immediate", "stop")
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def new_address(server: Callable[..., None]) -> Callable[[], str]:
    """Makes an empty PostgreSQL database and gives its address."""

    def make() -> str:
        name = f"w{os.urandom(6).hex()}"
        server("createdb", "-h", str(server.folder), "-U", "app", name)
        return f"postgresql://app@/{name}?host={server.folder}"

    return make


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def new_place(request: pytest.FixtureRequest, tmp_path: Path) -> Callable[[], str]:
    """Gives a new empty place each time it is called, in each kind of database in turn."""
    if request.param == "postgres":
        return request.getfixturevalue("new_address")
    return lambda: str(tmp_path / f"{os.urandom(6).hex()}.db")


@pytest.fixture
def store(new_place: Callable[[], str]) -> Iterator[Store]:
    with open_store(new_place()) as opened:
        yield opened


@pytest.fixture
def file_store(tmp_path: Path) -> Iterator[Store]:
    with open_store(tmp_path / "workshop.db") as opened:
        yield opened


def _begin(store: Store, slug: str = "reedlight-7", **plain: object) -> RevisionRow:
    with store.writing() as session:
        return add_pole(session, slug, Content.of({"name": slug, **plain}), name=slug, note="", who="Ann", at=WHEN)


def _save(store: Store, parent: int, slug: str = "reedlight-7", who: str = "Ann", **plain: object) -> RevisionRow:
    with store.writing() as session:
        return add_revision(
            session,
            pole_row(session, slug),
            Content.of({"name": slug, **plain}),
            parent=parent,
            name=slug,
            note="",
            who=who,
            at=WHEN,
        )


@pytest.fixture
def begin() -> Callable[..., RevisionRow]:
    """begin(store, slug, **plain): a pole with its first revision."""
    return _begin


@pytest.fixture
def save() -> Callable[..., RevisionRow]:
    """save(store, parent, slug, who, **plain): a further revision."""
    return _save


@pytest.fixture
def when() -> datetime:
    return WHEN
