"""`polewright check FILE --wall 3`: everything of one section's wall, as tables or as JSON."""

import json
import sys
from pathlib import Path

from rich.console import Console

from polewright.cli.check import table_of
from polewright.cli.files import design_from, told_of
from polewright.cli.shown import console_of, unmarked
from polewright.documents.wall_figures import wall_figures
from polewright.documents.wall_shown import WallFigures

__all__ = ["run"]


def run(file: Path, *, supposed: list[str], section: int, as_json: bool) -> None:
    """Print the wall of one section, numbered from the tip."""
    design = design_from(file, supposed)
    with told_of(file):
        figures = wall_figures(design, section)
    if as_json:
        sys.stdout.write(json.dumps(figures.model_dump(mode="json"), indent=2, ensure_ascii=False) + "\n")
        return
    _show(console_of(120), unmarked(figures))


def _show(console: Console, w: WallFigures) -> None:
    console.print(f"[bold]{w.name}, section {w.section}[/]   {w.stack}")
    console.print(
        f"bore {w.bore_mm:.2f} mm   outside {w.outside_mm:.2f} mm   wall {w.wall_mm:.3f} mm   "
        f"{w.mass_per_length_g_m:.1f} g/m   strengths: {w.strengths}\n"
    )
    _tiers(console, w)
    _round(console, w)
    _limits(console, w)
    _strength(console, w)
    _cure(console, w)
    _plies(console, w)
    for said in w.rules:
        console.print(said, soft_wrap=True)
    console.print()
    for why in w.why:
        console.print(f"[dim]why {why.figures}: {why.words}. {why.source}[/]", soft_wrap=True)


def _tiers(console: Console, w: WallFigures) -> None:
    table = table_of("Stiffness by two theories", "", "thin wall", "exact tube", "")
    for t in w.tiers:
        table.add_row(t.name, f"{t.thin:.5g}", f"{t.exact:.5g}", t.unit)
    console.print(table)
    console.print()


def _round(console: Console, w: WallFigures) -> None:
    table = table_of("Squeezed to the first broken ply", "", "N a side", "closed by mm", "N/mm", "breaks")
    for s in w.squeezes:
        guide = " (guide only)" if s.is_large else ""
        table.add_row(s.how, f"{s.force_N:.0f}", f"{s.closure_mm:.2f}", f"{s.stiffness_N_mm:.0f}", s.breaks + guide)
    console.print(table)
    console.print(
        f"band: {w.band_least_N:.0f} N to hold wet, at most {w.band_most_exact_N:.0f} N (thin ring "
        f"{w.band_most_N:.0f}): {w.band_words}"
    )
    if w.collar_MPa is not None:
        console.print(
            f"uneven collar: first ply breaks at {w.collar_MPa:.2f} MPa mean; an even one collapses the wall "
            f"at {w.collar_collapse_MPa:.2f} MPa"
        )
    console.print()


def _limits(console: Console, w: WallFigures) -> None:
    table = table_of("What ends the wall", "", "theory", "knock-down", "bears", "", "range")
    table.columns[5].justify = "left"
    for x in w.limits:
        mark = "  first" if x.is_first else ""
        inside = "" if x.is_in_range else "outside its range: "
        table.add_row(
            f"{x.under}: {x.name}{mark}",
            f"{x.perfect:.4g}",
            f"{x.knock_down:.2f}",
            f"{x.load:.4g}",
            x.unit,
            inside + x.range,
        )
    console.print(table)
    console.print()


def _strength(console: Console, w: WallFigures) -> None:
    if not w.reserves:
        console.print("[dim]no strengths are known: no reserves[/]\n")
        return
    table = table_of(f"First broken ply, times {w.reference_moment_N_m:.0f} N m", "", "cure in", "cure out", "breaks")
    table.columns[3].justify = "left"
    for r in w.reserves:
        inside, outside = (f"{v:.2f}" if v is not None else "never" for v in (r.cure_in, r.cure_out))
        table.add_row(f"{r.strengths}, {r.criterion}", inside, outside, r.cure_in_breaks)
    console.print(table)
    console.print(
        f"{w.first_ply_words}; the wall gives way at "
        + ("no moment" if w.last_ply_N_m is None else f"{w.last_ply_N_m:.0f} N m")
    )
    console.print(f"[dim]ply after ply: {'; '.join(w.last_ply_steps)}[/]\n", soft_wrap=True)


def _cure(console: Console, w: WallFigures) -> None:
    console.print(
        f"after the oven: bore {w.cold_bore_mm:.3f} mm, outside {w.cold_outside_mm:.3f} mm, length "
        f"{w.length_change_mm:+.3f} mm, twist {w.twist_after_cure_deg:+.2f}°; {w.release_words}, gap "
        f"{w.release_gap_mm:+.3f} mm"
        + ("" if w.grip_MPa == 0.0 else f", {w.pull_off_at_most_kN:.1f} kN at most to draw the bar")
    )
    starts = ", ".join(f"{s:.0f}°" for s in w.seam_starts_deg)
    console.print(
        f"seams start at {starts}: stiffness swings by {w.seam_peak_to_peak_pct:.2f} % round the clock, "
        f"stiffest at {w.seam_spine_deg:.0f}°; bow {w.seam_bow_mm:.2f} mm\n",
        soft_wrap=True,
    )


def _plies(console: Console, w: WallFigures) -> None:
    table = table_of("What each ply earns, % of the whole", "", "along", "around", "twist", "mass", "cost")
    for e in w.earns:
        table.add_row(
            f"{e.wrap}. {e.angle_deg:g}° {e.prepreg} x{e.turns:g}",
            *(f"{v:.1f}" for v in (e.along_pct, e.around_pct, e.twist_pct, e.mass_pct, e.cost_pct)),
        )
    console.print(table)
    table = table_of("What a change does, %", "", "EA", "EI", "GJ", "ring", "flattening", "mass", "wall mm", "cost/m")
    for c in w.changes:
        table.add_row(
            f"{c.wrap}. {c.what}",
            *(f"{v:+.1f}" for v in (c.axial_pct, c.bending_pct, c.twist_pct, c.ring_pct, c.flattening_pct, c.mass_pct)),
            f"{c.wall_mm:+.3f}",
            f"{c.cost_per_m:+.2f}",
        )
    console.print(table)
    console.print()
