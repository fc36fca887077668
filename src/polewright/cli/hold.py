"""`polewright hold FILE --reach ... --lean ... --wind ...`: the pole as somebody holds it."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console
from rich.markup import escape

from polewright.cli.files import design_from, naming_file
from polewright.cli.output import console_of, table_of, without_markup, write_json
from polewright.errors import DesignError, DocumentError, Fault
from polewright.words import Reader, default_reader
from polewright.words.hold import (
    comfort_text,
    part_name,
    pressed_text,
    safe_text,
    strokes_text,
    support_name,
    warmth_text,
    weakest_text,
    wind_text,
)
from polewright.words.reports.hold import hold_figures
from polewright.words.reports.spend import COMPARED
from polewright.workshop import HoldAnswer, JointPress, Spending, workpiece
from polewright.workshop.hold import hold_report

__all__ = ["run"]

OPTIONS = {
    "reach": "--reach",
    "lean_deg": "--lean",
    "wind_m_s": "--wind",
    "support": "--support",
    "head_g": "--head",
    "hose_g_m": "--hose",
    "temperature_C": "--temperature",
    "slide": "--slide",
    "push_N": "--push",
    "support.push": "--push",
}


def run(file: Path, *, supposed: list[str], reach: str | None, values: dict[str, object], as_json: bool) -> None:
    """Print one hold; `reach` is a length, "3" sections drawn out, or "all"."""
    design = design_from(file, supposed)
    with naming_file(file):
        workpiece(design)  # a design that cannot be built is refused as such, and by no option
        with _options_told():
            report = hold_report(design, values, reach=reach)
    answer, spending = report.hold, report.spending
    if as_json:
        figures = hold_figures(answer, default_reader(), spending=spending)
        write_json(figures)
        return
    console, reader = console_of(110), default_reader()
    _show(console, answer, reader)
    _show_split(console, answer, reader)
    if answer.joints:
        _show_joints(console, answer.joints, reader)
    _show_spending(console, spending, reader)


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


def _show(console: Console, h: HoldAnswer, reader: Reader) -> None:
    say = reader.say
    console.print(say("cli.hold.head", name=f"[bold]{escape(h.name)}[/]", reach=h.reach, length=h.length, lean=h.lean,
                      support=support_name(h.support, reader)))  # fmt: skip
    console.print(say("cli.hold.service", warmth=warmth_text(h, reader), wind=wind_text(h, reader)), soft_wrap=True)
    aside = say("cli.hold.aside") if h.bent_aside else ""
    console.print(say("cli.hold.tip", droop=h.droop, level=h.tip_level, up=h.tip_up) + aside)
    comfort = comfort_text(h, reader)
    console.print(say("cli.hold.mass", mass=h.mass, balance=h.balance, carry=h.carry, comfort=comfort), soft_wrap=True)
    if h.felt_mass is not None:
        hands = {"front": h.front_hand, "rear": h.rear_hand, "moment": h.hand_moment, "felt": h.felt_mass}
        console.print(say("cli.hold.hands", **hands), soft_wrap=True)
    console.print(_swing(h, reader), soft_wrap=True)
    if h.push_limit is not None:
        own = h.self_buckling_factor
        bears = "" if own is None else say("cli.hold.own", factor=own)
        console.print(say("cli.hold.push", push=h.push_limit) + bears)
    if h.sway is not None:
        console.print(say("cli.hold.sway", sway=h.sway))
    if h.glass_push is not None and h.glass_drag is not None:
        way = "up" if h.glass_drag >= 0.0 else "down"
        console.print(say(f"cli.hold.glass.{way}", push=h.glass_push, drag=abs(h.glass_drag)))
    code = "cli.hold.safe" if h.safe.reach is not None else "cli.hold.safe.none"
    console.print(escape(say(code, reach=h.safe.reach, safe=safe_text(h, reader))), soft_wrap=True)
    console.print(say("cli.hold.weakest", weakest=weakest_text(h, reader)), soft_wrap=True)
    advice = pressed_text(h.pressed, reader)
    console.print(f"{say('cli.hold.look', advice=advice)}\n" if advice else "", soft_wrap=True)


def _swing(h: HoldAnswer, reader: Reader) -> str:
    say, strokes = reader.say, strokes_text(h, reader)
    none = say("cli.hold.swing.none")
    free = none if h.swing is None else say("cli.hold.swing.free", swing=h.swing, settles=h.settles)
    propped = none if h.swing_propped is None else say("cli.hold.swing.propped", swing=h.swing_propped)
    if h.swing is not None:
        strokes = say("cli.hold.swing.strokes", swing=h.swing, strokes=strokes)
    return say("cli.hold.swing", free=free, propped=propped, strokes=strokes)


def _show_split(console: Console, h: HoldAnswer, reader: Reader) -> None:
    table = table_of(reader.say("cli.hold.split"), reader.say("cli.hold.split.part"), reader.unit("length"))
    for part in h.split:
        table.add_row(part_name(part, reader), reader.bare(part.droop, "length", 1))
    console.print(table)
    console.print()


def _show_joints(console: Console, joints: tuple[JointPress, ...], reader: Reader) -> None:
    say, force, moment = reader.say, reader.unit("force"), reader.unit("moment")
    bears = say("cli.hold.joints.bears", unit=force)
    table = table_of(
        say("cli.hold.joints"),
        "",
        say("cli.hold.joints.mouth", unit=force),
        bears,
        say("cli.hold.joints.inner_end", unit=force),
        bears,
        say("cli.hold.joints.moment", unit=moment),
    )
    for j in joints:
        front, front_bears, back, back_bears = (
            say("cli.hold.unknown") if v is None else reader.bare(v, "force", 0)
            for v in (j.front, j.front_bears, j.back, j.back_bears)
        )
        name = say("cli.hold.joints.name", inner=j.between[0], outer=j.between[1])
        table.add_row(name, front, front_bears, back, back_bears, reader.bare(j.mouth_moment, "moment", 1))
    console.print(table)
    console.print()


def _show_spending(console: Console, spending: tuple[Spending, ...], reader: Reader) -> None:
    say, length = reader.say, reader.unit("length")
    table = table_of(
        say("cli.hold.spend"),
        say("cli.hold.spend.section"),
        say("cli.hold.spend.prepreg"),
        say("cli.hold.spend.saved", unit=length),
        say("cli.hold.spend.cost"),
        reader.unit("mass"),
        say("cli.hold.spend.per_cost", unit=length),
        say("cli.hold.spend.per_mass", unit=length),
        say("cli.hold.spend.fits"),
    )
    for s in spending:
        table.add_row(
            say("hold.part.section", number=s.section),
            without_markup(s.prepreg),
            reader.bare(s.droop_saved, "length", 1),
            reader.number(s.cost, 1),
            reader.bare(s.mass, "mass", 0),
            reader.bare(s.per_cost, "length", 2),
            reader.bare(s.per_mass * COMPARED, "length", 1),
            say("cli.hold.spend.yes") if s.still_fits else say("cli.hold.spend.no", left=s.clearance_left or 0.0),
        )
    console.print(table)
