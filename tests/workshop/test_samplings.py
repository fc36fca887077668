"""The spread of a pole as long work: a job with its steps, a stop, and an answer that is the sampling's own."""

import pytest

from polewright.answers.scatter import scatter_answer
from polewright.documents.files import document_of
from polewright.errors import StockError
from polewright.scatter import Plan
from polewright.store import open_store
from polewright.workshop import Workshop
from polewright.workshop.jobs import Kind
from polewright.workshop.jobs.order import Stopped
from polewright.workshop.jobs.scatter_work import scatter_work

pytestmark = pytest.mark.slow

POLE = "crookbough-5"
SECONDS = 120.0


class Steps:
    """A watch that notes the steps and stops at one of them."""

    def __init__(self, stop_at: str = "") -> None:
        self.steps: dict[str, tuple[int, int]] = {}
        self._stop_at = stop_at

    def step(self, step, done=0, of=0, gap=None):
        self.steps[step] = (done, of)

    def is_stopped(self):
        return self._stop_at in self.steps


@pytest.fixture
def workshop(tmp_path):
    with Workshop(open_store(tmp_path / "workshop.sqlite")) as found:
        found.load_demo()
        yield found


def test_a_sampling_in_a_process_of_its_own_answers_as_one_in_hand(workshop):
    design = workshop.designs.open(POLE).saved.design
    job = workshop.samplings.start(POLE, design, poles=64, order=7, seed=3)
    assert workshop.jobs.wait(job.number, SECONDS).state == "done"
    expected = scatter_answer(document_of(design.plain()), plan=Plan(64, 3), order=7)
    assert workshop.samplings.answer(POLE) == expected
    assert workshop.samplings.latest("reedlight-7") is None
    assert workshop.samplings.answer("reedlight-7") is None


def test_the_work_tells_each_of_its_steps_to_the_end(workshop):
    watch = Steps()
    design = workshop.designs.open(POLE).saved.design
    scatter_work(design.plain(), {"poles": 64, "order": 7, "seed": 3}, watch=watch, state=None)
    assert list(watch.steps) == ["copies", "lots", "inputs"]
    assert all(done == of > 0 for done, of in watch.steps.values())


@pytest.mark.parametrize("step", ["copies", "inputs"])
def test_a_stop_ends_the_work_at_its_step(workshop, step):
    design = workshop.designs.open(POLE).saved.design
    watch = Steps(stop_at=step)
    with pytest.raises(Stopped):
        scatter_work(design.plain(), {"poles": 64, "order": 7, "seed": 3}, watch=watch, state=None)
    assert list(watch.steps)[-1] == step


def test_a_pole_has_one_sampling_at_a_time(tmp_path, monkeypatch):
    monkeypatch.setenv("TEST_GATE", str(tmp_path / "gate"))
    kinds = {"scatter": Kind("scatter", "tests.workshop.job_works:search", 1)}
    with Workshop(open_store(tmp_path / "staged.sqlite"), kinds=kinds) as workshop:
        workshop.load_demo()
        design = workshop.designs.open(POLE).saved.design
        workshop.samplings.start(POLE, design, poles=64, order=7)
        with pytest.raises(StockError):
            workshop.samplings.start(POLE, design, poles=64, order=7)
        workshop.samplings.stop(POLE)
        job = workshop.jobs.wait(workshop.samplings.latest(POLE).number, SECONDS)
        assert not job.is_under_way
        assert workshop.samplings.answer(POLE) is None
