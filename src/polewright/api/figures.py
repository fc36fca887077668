"""Paths of the JSON API that keep nothing: figures of a posted design, edits, schemas."""

from typing import Annotated, Any

from fastapi import APIRouter, Path, Query

from polewright.api.answers import DesignAnswer, SchemasAnswer
from polewright.api.edit_models import EditsRequest
from polewright.api.requests import HoldRequest, Plain, RankRequest, RecordRequest, WorkshopDep
from polewright.words import default_reader
from polewright.words.reports.bench import BenchResult, bench_result
from polewright.words.reports.check import CheckReport, check_report
from polewright.words.reports.hold import HoldBand, HoldFigures, band_figures, hold_figures
from polewright.words.reports.ranking import Ranking, ranking_report
from polewright.words.reports.scatter import ScatterReport, scatter_report
from polewright.words.reports.wall import WallFigures, wall_figures
from polewright.workshop import bench_answer, design_of, rank_designs, record_of, schema_kinds, schema_of
from polewright.workshop.hold import hold_report
from polewright.workshop.hold_band import held_band
from polewright.workshop.scatter import sample_plan, scatter_answer
from polewright.workshop.wall import wall_answer

__all__ = ["figure_paths"]

Section = Annotated[int, Path(ge=1, le=99, description="number of the section, the tip first")]
Copies = Annotated[int, Query(ge=64, le=4096, description="copies to sample")]
Seed = Annotated[int, Query(ge=0, le=2**31 - 1, description="the same seed gives the same answer")]
Order = Annotated[int, Query(ge=1, le=10_000, description="poles in the order that must pass")]
Kind = Annotated[str, Path(min_length=1, max_length=40, pattern="^[a-z-]+$")]

figure_paths = APIRouter(prefix="/api", tags=["figures"])


@figure_paths.post("/check")
def check(workshop: WorkshopDep, design: Plain) -> CheckReport:
    """All figures of a design, with the unit in every name."""
    return check_report(workshop.check(design_of(design)), default_reader())


@figure_paths.post("/wall/{section}")
def wall(design: Plain, section: Section) -> WallFigures:
    """All figures of one section's wall, as `polewright check FILE --json --wall N` gives them."""
    return wall_figures(wall_answer(design_of(design), section), default_reader())


@figure_paths.post("/hold")
def hold(request: HoldRequest) -> HoldFigures:
    """What a pole does in a hold, as `polewright hold FILE --json` gives it, and where to spend."""
    report = hold_report(design_of(request.design), request.hold.model_dump(exclude_unset=True), reach=request.reach)
    return hold_figures(report.hold, default_reader(), spending=report.spending)


@figure_paths.post("/hold/band")
def hold_copies(request: HoldRequest, copies: Copies = 64) -> HoldBand:
    """Where the copies of a pole lie in a hold; it takes some seconds."""
    values = request.hold.model_dump(exclude_unset=True)
    band = held_band(design_of(request.design), values, reach=request.reach, copies=copies)
    return band_figures(band, default_reader())


@figure_paths.post("/rank")
def rank(workshop: WorkshopDep, request: RankRequest) -> Ranking:
    """Designs in order, as `polewright rank FILES --json` gives them."""
    checks = [workshop.check(design_of(design)) for design in request.designs]
    return ranking_report(rank_designs(checks), default_reader())


@figure_paths.post("/bench")
def bench(request: RecordRequest) -> BenchResult:
    """What a test shows beside the prediction of a design."""
    return bench_result(bench_answer(record_of(request.record), design_of(request.design)), default_reader())


@figure_paths.post("/scatter")
def scatter(design: Plain, poles: Copies = 1024, seed: Seed = 1, order: Order = 10) -> ScatterReport:
    """What copies of a design come to, as `polewright scatter FILE --json` gives it; it takes some seconds."""
    answer = scatter_answer(design_of(design), plan=sample_plan(poles, seed), order=order)
    return scatter_report(answer, default_reader())


@figure_paths.post("/edits")
def edit(workshop: WorkshopDep, request: EditsRequest) -> DesignAnswer:
    """The design after the edits, all or none; nothing is kept."""
    return DesignAnswer(design=workshop.edited_in_turn(design_of(request.design), request.in_turn()).plain())


@figure_paths.get("/schemas")
def list_schemas() -> SchemasAnswer:
    """The kinds of document that have a JSON Schema here."""
    return SchemasAnswer(kinds=list(schema_kinds()))


@figure_paths.get("/schemas/{kind}")
def read_schema(kind: Kind) -> dict[str, Any]:
    """The JSON Schema of a kind of document."""
    return schema_of(kind)
