"""`polewright check`: every figure of a pole as tables that a workshop would pin up, or as JSON."""

import gc
import json
import sys
from pathlib import Path

from rich.console import Console
from rich.table import Table

from polewright.cli.files import design_from, told_of
from polewright.cli.shown import console_of, unmarked
from polewright.documents.design import Design
from polewright.words.reports.check import CheckReport, Finding, evaluate
from polewright.words.reports.ranking import Ranking, ranked

__all__ = ["run", "table_of"]


def run(files: list[Path], *, supposed: list[str], as_json: bool) -> None:
    """Check one design, or rank several; as tables or as JSON."""
    designs = [design_from(f, supposed) for f in files]
    reports = _reports(files, designs)
    answer = reports[0] if len(reports) == 1 else ranked(list(zip(designs, reports, strict=True)))
    if as_json:
        sys.stdout.write(json.dumps(answer.model_dump(mode="json"), indent=2, ensure_ascii=False) + "\n")
        return
    console = console_of(132)
    if isinstance(answer, Ranking):
        show_ranking(console, unmarked(answer))
    else:
        show_report(console, unmarked(answer))


def _reports(files: list[Path], designs: list[Design]) -> list[CheckReport]:
    """Every design's report; the collector rests, as the first check loads the compiled loops, and they stay."""
    reports = []
    gc.disable()
    try:
        for file, design in zip(files, designs, strict=True):
            with told_of(file):
                reports.append(evaluate(design))
    finally:
        gc.enable()
    return reports


def table_of(title: str, *columns: str) -> Table:
    """A plain table: no frame, figures to the right."""
    table = Table(
        title=title,
        title_justify="left",
        title_style="bold",
        box=None,
        pad_edge=False,
        padding=(0, 2, 0, 0),
        header_style="dim",
    )
    for i, column in enumerate(columns):
        table.add_column(column, justify="left" if i == 0 else "right", overflow="fold")
    return table


def show_report(console: Console, r: CheckReport) -> None:
    """All tables of one design."""
    p = r.pole
    console.print(f"[bold]{r.name}[/]  {r.maker}  design {r.design_hash[:8]}")
    console.print(
        f"extended {p.extended_mm:.0f} mm   closed {p.closed_mm:.0f} mm   ready to work {p.mass_g:.0f} g   "
        f"balance {p.balance_mm:.0f} mm from butt   carry moment {p.carry_kg_m:.2f} kg m"
    )
    console.print(
        f"droop {p.droop_mm:.0f} mm with {p.droop_tip_total_g:.0f} g at the tip (small-deflection theory "
        f"{p.droop_small_mm:.0f})   material {p.material_cost:.0f} {p.currency}\n"
    )
    _sections(console, r)
    _joints(console, r)
    _reaches(console, r)
    _shares(console, r)
    _findings(console, r.findings)
    _footer(console, r)


def _sections(console: Console, r: CheckReport) -> None:
    table = table_of(
        "Sections, numbered from the tip",
        "",
        "stack, bore outward",
        "bore mm",
        "outside mm",
        "wall mm",
        "EI N·m²",
        "GJ N·m²",
        "bears N·m",
        "ring N/mm",
        "g/m",
        "band N",
        "lets go mm",
        r.pole.currency,
    )
    table.columns[1].justify, table.columns[1].no_wrap = "left", True
    for s in r.sections:
        window = (
            ""
            if s.window is None
            else (f"{s.window.least_N:.0f}-{s.window.most_N:.0f}" if s.window.is_open else "none")
        )
        table.add_row(
            f"S{s.number}",
            s.stack,
            f"{s.bore_butt_mm:.2f}",
            f"{s.outside_butt_mm:.2f}",
            f"{s.wall_mm:.3f}",
            f"{s.bending_EI_N_m2:.0f}",
            f"{s.twist_GJ_N_m2:.0f}",
            f"{s.bending.least_N_m:.0f}",
            f"{s.ring_20mm_N_mm:.0f}",
            f"{s.mass_per_length_g_m:.1f}",
            window,
            f"{s.release_gap_mm:+.3f}",
            f"{s.material_cost:.0f}",
        )
    console.print(table)
    apart = max(abs(s.exact_EI_N_m2 / s.bending_EI_N_m2 - 1.0) for s in r.sections)
    first = sorted({s.bending.first for s in r.sections})
    console.print(
        f"[dim]bears: bending moment to the first of fibre failure, flattening, wrinkling (here "
        f"{', '.join(first)}); ring: 20 mm wide, between plates; band: clamp tension that holds wet and does "
        f"not crush. EI of the exact tube: within {apart:.3%}. --wall N: the wall of section N in full[/]\n"
    )


def _joints(console: Console, r: CheckReport) -> None:
    if not r.joints:
        return
    table = table_of(
        "Fits, clearance on diameter",
        "",
        "pushed in mm",
        "over the overlap mm",
        "end of travel mm",
        "left after seam mm",
        "play mrad",
        "stiffness kN·m/rad",
    )
    for j in r.joints:
        stiffness = f"{j.stiffness_kN_m_rad:.1f}{'*' if j.stiffness_from == 'default' else ' '}"
        table.add_row(
            f"S{j.between[0]} in S{j.between[1]}",
            f"{j.clearance_closed_mm:.3f}",
            f"{j.clearance_at_overlap_mm:.3f}",
            f"{j.clearance_drawn_mm:.3f}",
            f"{j.clearance_least_mm:.3f}",
            f"{j.play_mrad:.2f}",
            stiffness,
        )
    console.print(table)
    console.print("[dim]* default, not measured here[/]\n")


def _reaches(console: Console, r: CheckReport) -> None:
    first = r.reaches[0]
    table = table_of(
        "Reaches on two trestles, thin end first",
        "drawn out",
        "length mm",
        "droop own mm",
        f"with +{first.load_g:.0f} g mm",
        "per 100 g mm",
        "balance mm",
        "carry kg·m",
        f"swing +{first.swing_mass_g:.0f} g Hz",
    )
    for x in r.reaches:
        table.add_row(
            x.name,
            f"{x.length_mm:.0f}",
            f"{x.droop_own_mm:.0f} ({x.droop_own_small_mm:.0f})",
            f"{x.droop_loaded_mm:.0f} ({x.droop_loaded_small_mm:.0f})",
            f"{x.added_droop_mm_per_100g:.1f} ({x.added_droop_small_mm_per_100g:.1f})",
            f"{x.balance_mm:.0f}",
            f"{x.carry_kg_m:.2f}",
            f"{x.swing_Hz:.2f}",
        )
    console.print(table)
    console.print(f"[dim]in brackets: small-deflection theory. {r.reaches[-1].name}: {r.reaches[-1].large_note}[/]\n")


def _shares(console: Console, r: CheckReport) -> None:
    table = table_of(f"Where the droop comes from, {r.reaches[-1].name}", "part", "own weight mm", "of tip flex %")
    for share in r.reaches[-1].shares:
        table.add_row(share.part, f"{share.own_weight_mm:.1f}", f"{share.added_pct:.1f}")
    console.print(table)
    console.print()


def _findings(console: Console, found: tuple[Finding, ...]) -> None:
    console.print("[bold]Checks[/]")
    for f in found:
        mark = "[bold red]look[/] " if f.verdict == "look" else "[dim]holds[/]"
        console.print(f"{mark}  {f.says}", soft_wrap=True)
        if f.verdict == "look":
            console.print(f"       why: {f.reason}", soft_wrap=True)
            for hint in f.hints:
                gives = f" ({hint.gives})" if hint.gives else ""
                console.print(f"       {hint.order}. {hint.what}{gives}", soft_wrap=True)
    console.print()


def _footer(console: Console, r: CheckReport) -> None:
    for said in r.assumptions:
        console.print(f"[dim]assumed: {said}[/]", soft_wrap=True)
    default = [m.id for m in r.materials if m.resting_on == "default"]
    if default:
        console.print(f"[dim]materials on default figures, not measured here: {', '.join(default)}[/]", soft_wrap=True)
    for caution in r.cautions:
        console.print(f"caution: {caution}", soft_wrap=True)


def show_ranking(console: Console, ranking: Ranking) -> None:
    """The order of several designs, why, and what a limit costs."""
    table = table_of(
        "Ranked against the brief", "", "pole", "g", "droop mm", "mm/100 g", ranking.currency, "base mm", "misses"
    )
    table.columns[1].justify = table.columns[7].justify = "left"
    for row in ranking.designs:
        table.add_row(
            str(row.place),
            row.name,
            f"{row.mass_g:.0f}",
            f"{row.droop_mm:.0f}",
            f"{row.added_droop_mm_per_100g:.1f}",
            f"{row.material_cost:.0f}",
            f"{row.base_outside_mm:.2f}",
            "; ".join(row.misses) or "nothing",
        )
    console.print(table)
    console.print()
    for row in ranking.designs:
        for said in row.says:
            console.print(f"{row.place}. {row.name}: {said}", soft_wrap=True)
    for offer in ranking.offers:
        console.print(f"offer: {offer}", soft_wrap=True)
