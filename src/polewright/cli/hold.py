"""`polewright check FILE --reach ... --lean ... --wind ...`: the pole as somebody holds it."""

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pydantic import ValidationError
from rich.console import Console

from polewright.cli.check import table_of
from polewright.cli.files import design_from, told_of
from polewright.cli.shown import console_of, unmarked
from polewright.documents.files import DocumentError, Fault, faults_of
from polewright.documents.holding import HoldFigures, Holding, hold_figures
from polewright.documents.spend import Spending, spendings
from polewright.documents.values import Workpiece, workpiece
from polewright.errors import DesignError
from polewright.pole.wind import drawn_to
from polewright.units import parse_length, to

__all__ = ["run"]

OPTIONS = {
    "reach": "--reach",
    "lean_deg": "--lean",
    "wind_m_s": "--wind",
    "support": "--hold",
    "head_g": "--head",
    "hose_g_m": "--hose",
    "temperature_C": "--temperature",
    "slide": "--slide",
    "push_N": "--push",
    "support.push": "--push",
}


def run(file: Path, *, supposed: list[str], reach: str | None, asked: dict[str, object], as_json: bool) -> None:
    """Print one hold; `reach` is a length, "3" sections drawn out, or "all"."""
    design = design_from(file, supposed)
    with told_of(file):
        work = workpiece(design)
        with _options_told():
            holding = _holding(work, reach, asked)
            answer = hold_figures(design, work, holding)
        spending = spendings(design, work)
    if as_json:
        whole = answer.model_dump(mode="json") | {"where_to_spend": [s.model_dump(mode="json") for s in spending]}
        sys.stdout.write(json.dumps(whole, indent=2, ensure_ascii=False) + "\n")
        return
    _show(console_of(110), unmarked(answer), unmarked(spending))


@contextmanager
def _options_told() -> Iterator[None]:
    """A refusal of how the pole is held is told of the option that says so, and of no file."""
    try:
        yield
    except DocumentError as fault:
        raise DocumentError(
            [Fault((OPTIONS.get(field, field), value, want)) for field, value, want in fault.faults], fault.where
        ) from fault
    except DesignError as fault:
        raise DesignError(OPTIONS.get(fault.field, fault.field), fault.value, fault.want) from fault


def _holding(work: Workpiece, reach: str | None, asked: dict[str, object]) -> Holding:
    fields = dict(asked) | _drawn(work, reach)
    try:
        return Holding.model_validate(fields)
    except ValidationError as fault:
        raise DocumentError(faults_of(fault, Holding)) from fault


def _drawn(work: Workpiece, reach: str | None) -> dict[str, object]:
    """Sections drawn out, thin end first, to a reach: a count, "all", or a length butt to tip."""
    if reach is None or reach.strip() == "all":
        return {"out": 0}
    if reach.strip().isdigit() and int(reach) <= len(work.pole.joints):
        return {"out": int(reach)}
    wanted = parse_length(reach, "mm", field="reach")
    pole = work.pole
    if not pole.closed_length - 1e-9 <= wanted <= pole.extended_length + 1e-9:
        ends = [f"{to(length, 'mm'):.0f} mm" for length in (pole.closed_length, pole.extended_length)]
        raise DocumentError([Fault(("reach", reach, f"from {ends[0]} pushed in to {ends[1]} drawn out"))])
    return {"drawn_mm": tuple(to(float(v), "mm") for v in drawn_to(pole, wanted))}


def _show(console: Console, h: HoldFigures, spending: tuple[Spending, ...]) -> None:
    console.print(f"[bold]{h.name}[/]  {h.reach}, {h.length_mm:.0f} mm, lean {h.lean_deg:g}°, {h.support}")
    console.print(f"{h.warmth}; wind: {h.wind}", soft_wrap=True)
    aside = "  (the straight pole is past its own buckling: it leans aside)" if h.bent_aside else ""
    console.print(
        f"tip {h.droop_mm:.0f} mm off the root axis, {h.tip_level_mm:.0f} out and {h.tip_up_mm:.0f} up from "
        f"where it is held{aside}"
    )
    console.print(f"{h.mass_g:.0f} g, balance {h.balance_mm:.0f} mm from butt; {h.comfort}", soft_wrap=True)
    if h.front_hand_N is not None and h.rear_hand_N is not None and h.hand_moment_N_m is not None:
        console.print(
            f"front hand {h.front_hand_N:.0f} N, rear hand {h.rear_hand_N:.0f} N across the pole, turning "
            f"moment {h.hand_moment_N_m:.0f} N·m; on raising, the front hand feels "
            f"{h.felt_mass_g or 0.0:.0f} g",
            soft_wrap=True,
        )
    swing = "none" if h.swing_Hz is None else f"{h.swing_Hz:.2f} Hz, settles in {h.settles_s or 0.0:.0f} s"
    pinned = "none" if h.swing_propped_Hz is None else f"{h.swing_propped_Hz:.2f} Hz"
    console.print(f"swing {swing}; with the head on the glass {pinned}. {h.strokes}", soft_wrap=True)
    if h.push_limit_N is not None:
        own = "" if h.self_buckling_factor is None else f"; bears {h.self_buckling_factor:.1f} times its own weight"
        console.print(f"a push of {h.push_limit_N:.0f} N at the tip bends the straight pole aside{own}")
    if h.sway_mm is not None:
        console.print(f"sideways in the wind {h.sway_mm:.0f} mm at the tip")
    if h.glass_push_N is not None and h.glass_drag_N is not None:
        way = "up" if h.glass_drag_N >= 0.0 else "down"
        console.print(
            f"the glass pushes the head back with {h.glass_push_N:.1f} N and drags it {way} with "
            f"{abs(h.glass_drag_N):.1f} N"
        )
    safe = f"{h.safe_reach.reach_mm:.0f} mm: " if h.safe_reach else ""
    console.print(f"reach still safe, by strength alone: {safe}{h.safe_words}", soft_wrap=True)
    console.print(f"weakest place: {h.weakest}. Predicted strength is no certification.", soft_wrap=True)
    console.print(f"look: {h.advice}\n" if h.advice else "", soft_wrap=True)
    table = table_of("Droop by cause", "part", "mm")
    for part, value in h.split:
        table.add_row(part, f"{value:.1f}")
    console.print(table)
    console.print()
    if h.joints:
        table = table_of(
            "Joints, forces on the inner tube",
            "",
            "at the mouth N",
            "bears N",
            "at the inner end N",
            "bears N",
            "moment at mouth N·m",
        )
        for j in h.joints:
            table.add_row(
                f"S{j.between[0]} in S{j.between[1]}",
                f"{j.front_N:.0f}",
                _bears(j.front_bears_N),
                f"{j.back_N:.0f}",
                _bears(j.back_bears_N),
                f"{j.mouth_moment_N_m:.1f}",
            )
        console.print(table)
        console.print()
    table = table_of(
        "Where to spend: one more axial turn",
        "section",
        "prepreg",
        "droop saved mm",
        "cost",
        "g",
        "mm per cost",
        "mm per 10 g",
        "fits",
    )
    for s in spending:
        table.add_row(
            f"S{s.section}",
            s.prepreg,
            f"{s.droop_saved_mm:.1f}",
            f"{s.cost:.1f}",
            f"{s.mass_g:.0f}",
            f"{s.mm_per_cost:.2f}",
            f"{s.mm_per_10_g:.1f}",
            "yes" if s.still_fits else f"no, {s.clearance_left_mm or 0.0:.2f} mm left",
        )
    console.print(table)


def _bears(limit_N: float | None) -> str:
    return "unknown" if limit_N is None else f"{limit_N:.0f}"
