"""`polewright wall FILE 3`: everything of one section's wall, as tables or as JSON."""

from pathlib import Path

from rich.console import Console
from rich.markup import escape

from polewright.cli.files import design_from, naming_file
from polewright.cli.output import console_of, table_of, without_markup, write_json
from polewright.words import Reader, default_reader
from polewright.words.check import stack_text
from polewright.words.clamps import break_text, collar_name, ends_text, load_text
from polewright.words.findings import ruling_text
from polewright.words.reports.wall import wall_figures
from polewright.words.wall import (
    change_text,
    first_ply_text,
    limit_parts,
    squeeze_text,
    step_text,
    tier_name,
    tier_parts,
    why_texts,
)
from polewright.workshop.wall import RoundAnswer, WallAnswer, wall_answer

__all__ = ["run"]


def run(file: Path, *, supposed: list[str], section: int, as_json: bool) -> None:
    """Print the wall of one section, numbered from the tip."""
    design = design_from(file, supposed)
    with naming_file(file):
        answer = wall_answer(design, section)
    if as_json:
        figures = wall_figures(answer, default_reader())
        write_json(figures)
        return
    _show(console_of(120), without_markup(answer), default_reader())


def _show(console: Console, w: WallAnswer, reader: Reader) -> None:
    say = reader.say
    console.print(f"[bold]{say('cli.wall.head', name=w.name, section=w.section)}[/]   {escape(stack_text(w.stack))}")
    strengths = say(f"cli.wall.strengths.{w.strengths}")
    console.print(
        say("cli.wall.figures", bore=w.bore, outside=w.outside, wall=w.wall, line_mass=w.mass_per_length,
            strengths=strengths) + "\n"
    )  # fmt: skip
    _tiers(console, w, reader)
    _round(console, w, reader)
    _limits(console, w, reader)
    _strength(console, w, reader)
    _cure(console, w, reader)
    _plies(console, w, reader)
    for ruling in w.rules:
        console.print(ruling_text(ruling, reader), soft_wrap=True)
    console.print()
    for why in why_texts(reader):
        text = say("cli.wall.why", name=why.name, why=why.words, source=why.source)
        console.print(f"[dim]{escape(text)}[/]", soft_wrap=True)


def _tiers(console: Console, w: WallAnswer, reader: Reader) -> None:
    say = reader.say
    table = table_of(say("cli.wall.tiers"), "", say("cli.wall.tiers.thin"), say("cli.wall.tiers.exact"), "")
    for t in w.tiers:
        (thin, unit), (exact, _) = (tier_parts(t.key, value, reader, 5) for value in (t.thin, t.exact))
        table.add_row(tier_name(t.key, reader), thin, exact, unit)
    console.print(table)
    console.print()


def _round(console: Console, w: WallAnswer, reader: Reader) -> None:
    say, r = reader.say, w.round
    table = table_of(
        say("cli.wall.squeeze"),
        "",
        say("cli.wall.squeeze.force", unit=reader.unit("force")),
        say("cli.wall.squeeze.closed", unit=reader.unit("length")),
        reader.unit("stiffness"),
        say("cli.wall.squeeze.breaks"),
    )
    for s in r.squeezes:
        table.add_row(
            squeeze_text(s, reader),
            reader.bare(s.force, "force", 0),
            reader.bare(s.closure, "length", 2),
            reader.bare(s.stiffness, "stiffness", 0),
            say("cli.wall.squeeze.guide", broken=s.broken) if s.is_large else reader.text(s.broken),
        )
    console.print(table)
    _collars(console, r, reader)


def _collars(console: Console, r: RoundAnswer, reader: Reader) -> None:
    say, unit, own = reader.say, reader.unit("force"), r.clamp
    heads = (say(f"cli.wall.collars.{head}", unit=unit) for head in ("most", "crack", "fibre", "collapse", "where"))
    table = table_of(say("cli.wall.collars"), "", *heads)
    for c in r.collars:
        name = collar_name(c.kind, reader)
        table.add_row(
            say("cli.wall.collars.own", kind=name) if c.kind == own.kind else name,
            reader.bare(c.most, "force", 0),
            *(load_text(getattr(c, what), what, reader) for what in ("crack", "fibre", "collapse")),
            break_text(c.fibre_at, c.kind, reader),
        )
    console.print(table)
    window = say("clamp.window" if own.is_open else "clamp.no_window")
    ends = ends_text(own.ends, own.most, reader)
    console.print(say("cli.wall.band", kind=collar_name(own.kind, reader), least=own.least, ends=ends, window=window))
    console.print()


def _limits(console: Console, w: WallAnswer, reader: Reader) -> None:
    say = reader.say
    heads = ("theory", "knock_down", "bears", "", "range")
    columns = [say(f"cli.wall.limits.{head}") if head else "" for head in heads]
    table = table_of(say("cli.wall.limits"), "", *columns)
    table.columns[5].justify = "left"
    for x in w.limits:
        name = say(f"cli.wall.limit.{x.under}", limit=say(f"wall.limit.{x.name}"))
        perfect, _ = limit_parts(x.under, x.perfect, reader, 4)
        load, unit = limit_parts(x.under, x.load, reader, 4)
        table.add_row(
            say("cli.wall.limit.first", name=name) if x.is_first else name,
            perfect,
            reader.number(x.knock_down, 2),
            load,
            unit,
            reader.text(x.range) if x.is_in_range else say("cli.wall.limit.outside", range=x.range),
        )
    console.print(table)
    console.print()


def _strength(console: Console, w: WallAnswer, reader: Reader) -> None:
    say = reader.say
    if w.strength is None:
        console.print(f"[dim]{say('cli.wall.no_strengths')}[/]\n")
        return
    columns = [say(f"cli.wall.reserves.{column}") for column in ("cure_in", "cure_out", "breaks")]
    table = table_of(say("cli.wall.reserves", moment=w.reference_moment), "", *columns)
    table.columns[3].justify = "left"
    for r in w.reserves:
        times = (say("cli.wall.reserve.never") if v is None else reader.number(v, 2) for v in (r.cure_in, r.cure_out))
        name = say(f"cli.wall.reserve.{r.strengths}", criterion=say(f"criterion.{r.criterion}"))
        table.add_row(name, *times, reader.text(r.broken_in))
    console.print(table)
    first, last = first_ply_text(w.strength, reader), w.strength.last
    console.print(say("cli.wall.last.none" if last is None else "cli.wall.last", first=first, last=last))
    steps = "; ".join(step_text(step, reader) for step in w.strength.steps)
    console.print(f"[dim]{say('cli.wall.steps', steps=steps)}[/]\n", soft_wrap=True)


def _cure(console: Console, w: WallAnswer, reader: Reader) -> None:
    say, cool, seams = reader.say, w.cool, w.seams
    oven = say("cli.wall.oven", bore=cool.bore, outside=cool.outside, length=cool.length_change, twist=cool.twist,
               fit=cool.fit, gap=cool.gap)  # fmt: skip
    console.print(oven if cool.pull_off == 0.0 else say("cli.wall.pull", oven=oven, pull=cool.pull_off))
    starts = ", ".join(reader.quantity(start, "angle", 0) for start in seams.starts)
    line = say("cli.wall.seams", starts=starts, swing=seams.peak_to_peak, spine=seams.spine, bow=seams.bow)
    console.print(f"{line}\n", soft_wrap=True)


def _plies(console: Console, w: WallAnswer, reader: Reader) -> None:
    say = reader.say
    shares = ("along", "around", "twist", "mass", "cost")
    table = table_of(say("wall.table.earns"), "", *(say(f"wall.table.earns.{share}") for share in shares))
    for e in w.earns:
        name = say("wall.ply", ply=e.ply, angle=e.angle, prepreg=e.prepreg, turns=e.turns)
        table.add_row(name, *(reader.bare(getattr(e, share), "share", 1) for share in shares))
    console.print(table)
    figures = ("axial", "bending", "twist", "ring", "flattening", "mass")
    heads = [say(f"wall.table.changes.{figure}") for figure in figures]
    heads += [say("wall.table.changes.wall", unit=reader.unit("length")), say("cli.wall.changes.cost")]
    table = table_of(say("wall.table.changes"), "", *heads)
    for c in w.changes:
        table.add_row(
            say("wall.change", ply=c.ply, change=change_text(c.what, reader)),
            *(reader.bare(getattr(c, figure), "share", 1) for figure in figures),
            reader.bare(c.wall, "length", 3),
            reader.number(c.cost, 2),
        )
    console.print(table)
    console.print()
