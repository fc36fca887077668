"""The figures and checks of a pole as tables on the terminal."""

from rich.console import Console
from rich.table import Table

from polewright.cli.output import table_of
from polewright.words import Reader
from polewright.words.check import large_note, reach_name, share_name, stack_text
from polewright.words.findings import finding_text
from polewright.workshop import BandWindow, Check, Finding, ReachAnswer, SectionAnswer

__all__ = ["show_check"]


def show_check(console: Console, check: Check, reader: Reader) -> None:
    """All tables of one design."""
    say, p = reader.say, check.pole
    head = say("cli.check.head", name=f"[bold]{check.name}[/]", maker=check.maker, hash=check.design_hash[:8])
    console.print(head, soft_wrap=True)
    sizes = {"extended": p.extended, "closed": p.closed, "mass": p.mass, "balance": p.balance, "carry": p.carry}
    console.print(say("cli.check.sizes", **sizes), soft_wrap=True)
    droop = {"droop": p.droop, "load": p.droop_load, "small": p.droop_small}
    console.print(say("cli.check.droop", **droop, cost=p.material_cost, currency=p.currency) + "\n", soft_wrap=True)
    _sections(console, check, reader)
    _joints(console, check, reader)
    _reaches(console, check, reader)
    _shares(console, check.reaches[-1], reader)
    _findings(console, check.findings, reader)
    _footer(console, check, reader)


def _sections(console: Console, check: Check, reader: Reader) -> None:
    say = reader.say
    heads = {
        "bore": "length",
        "outside": "length",
        "wall": "length",
        "EI": "bending",
        "GJ": "bending",
        "bears": "moment",
        "ring": "stiffness",
    }
    table = table_of(
        say("cli.check.sections"),
        "",
        say("cli.check.sections.stack"),
        *(say(f"cli.check.sections.{head}", unit=reader.unit(quantity)) for head, quantity in heads.items()),
        reader.unit("line_mass"),
        say("cli.check.sections.band", unit=reader.unit("force")),
        say("cli.check.sections.release", unit=reader.unit("length")),
        check.pole.currency,
        left=2,
    )
    _keep_numbers_whole(table)
    for section in check.sections:
        table.add_row(*_section_cells(section, reader))
    console.print(table)
    apart = max(abs(s.exact_EI / s.bending_EI - 1.0) for s in check.sections)
    first = tuple(say(f"wall.limit.{name}") for name in sorted({s.bending.first for s in check.sections}))
    console.print(f"[dim]{say('cli.check.sections.note', first=first, apart=apart)}[/]\n")


def _keep_numbers_whole(table: Table) -> None:
    """Let a stack run over several lines and no number; a head stands on two lines, its unit below."""
    for column in table.columns:
        column.no_wrap = column is not table.columns[1]
    for column in table.columns[2:]:
        name, _, unit = str(column.header).rpartition(" ")
        column.header = f"{name}\n{unit}"


def _section_cells(s: SectionAnswer, reader: Reader) -> tuple[str, ...]:
    bare = reader.bare
    return (
        reader.say("hold.part.section", number=s.number),
        stack_text(s.stack),
        bare(s.bore_butt, "length", 2),
        bare(s.outside_butt, "length", 2),
        bare(s.wall, "length", 3),
        bare(s.bending_EI, "bending", 0),
        bare(s.twist_GJ, "bending", 0),
        bare(s.bending.least, "moment", 0),
        bare(s.ring, "stiffness", 0),
        bare(s.mass_per_length, "line_mass", 1),
        _window(s.window, reader),
        _signed(bare(s.release_gap, "length", 3)),
        reader.number(s.material_cost, 0),
    )


def _window(window: BandWindow | None, reader: Reader) -> str:
    if window is None:
        return ""
    if not window.is_open:
        return reader.say("cli.check.sections.window.none")
    return reader.say("cli.check.sections.window", least=window.least, most=window.most)


def _signed(number: str) -> str:
    return number if number.startswith("\u2212") else f"+{number}"


def _joints(console: Console, check: Check, reader: Reader) -> None:
    if not check.joints:
        return
    say, length = reader.say, reader.unit("length")
    table = table_of(
        say("cli.check.joints"),
        "",
        *(say(f"cli.check.joints.{head}", unit=length) for head in ("closed", "overlap", "drawn", "least")),
        say("cli.check.joints.play"),
        say("cli.check.joints.stiffness", unit=reader.unit("turning_stiffness")),
    )
    for j in check.joints:
        clearances = (j.clearance_closed, j.clearance_at_overlap, j.clearance_drawn, j.clearance_least)
        stiffness = reader.bare(j.stiffness, "turning_stiffness", 1)
        table.add_row(
            say("cli.hold.joints.name", inner=j.between[0], outer=j.between[1]),
            *(reader.bare(clearance, "length", 3) for clearance in clearances),
            reader.bare(j.play, "angle", 2, unit="mrad"),
            f"{stiffness}{'*' if j.stiffness_from == 'default' else ' '}",
        )
    console.print(table)
    console.print(f"[dim]{say('cli.check.joints.default')}[/]\n")


def _reaches(console: Console, check: Check, reader: Reader) -> None:
    say, length, first = reader.say, reader.unit("length"), check.reaches[0]
    table = table_of(
        say("cli.check.reaches"),
        say("cli.check.reaches.out"),
        say("cli.check.reaches.length", unit=length),
        say("cli.check.reaches.own", unit=length),
        say("cli.check.reaches.loaded", load=first.load, unit=length),
        say("cli.check.reaches.flex", unit=reader.unit("flex")),
        say("cli.check.reaches.balance", unit=length),
        say("cli.check.reaches.carry", unit=reader.unit("carry")),
        say("cli.check.reaches.swing", load=first.swing_mass, unit=reader.unit("frequency")),
    )
    for r in check.reaches:
        table.add_row(
            reach_name(r, reader),
            reader.bare(r.length, "length", 0),
            say("cli.check.beside_small.length", value=r.droop_own, small=r.droop_own_small),
            say("cli.check.beside_small.length", value=r.droop_loaded, small=r.droop_loaded_small),
            say("cli.check.beside_small.flex", value=r.added_droop, small=r.added_droop_small),
            reader.bare(r.balance, "length", 0),
            reader.bare(r.carry, "carry", 2),
            reader.bare(r.swing, "frequency", 2),
        )
    console.print(table)
    last = check.reaches[-1]
    note = say("cli.check.reaches.note", reach=reach_name(last, reader), note=large_note(last, reader))
    console.print(f"[dim]{note}[/]\n")


def _shares(console: Console, reach: ReachAnswer, reader: Reader) -> None:
    say = reader.say
    table = table_of(
        say("cli.check.shares", reach=reach_name(reach, reader)),
        say("cli.check.shares.part"),
        say("cli.check.shares.own", unit=reader.unit("length")),
        say("cli.check.shares.flex"),
    )
    for share in reach.shares:
        own, added = reader.bare(share.own_weight, "length", 1), reader.bare(share.added, "share", 1)
        table.add_row(share_name(share, reader, is_short=True), own, added)
    console.print(table)
    console.print()


def _findings(console: Console, findings: tuple[Finding, ...], reader: Reader) -> None:
    say = reader.say
    console.print(f"[bold]{say('cli.check.checks')}[/]")
    verdicts = {name: say(f"verdict.{name}") for name in ("holds", "look")}
    width = max(len(text) for text in verdicts.values())
    for finding in findings:
        text, style = finding_text(finding, reader, is_short=True), "dim" if finding.holds else "bold red"
        verdict = f"[{style}]{verdicts[finding.verdict].ljust(width)}[/]"
        console.print(f"{verdict}  {text.says}", soft_wrap=True)
        if finding.holds:
            continue
        console.print(f"       {say('cli.check.why', reason=text.reason)}", soft_wrap=True)
        for order, hint in enumerate(text.hints, 1):
            code = "cli.check.hint.gives" if hint.gives else "cli.check.hint"
            console.print(f"       {say(code, order=order, what=hint.what, gives=hint.gives)}", soft_wrap=True)
    console.print()


def _footer(console: Console, check: Check, reader: Reader) -> None:
    say = reader.say
    for assumption in check.assumptions:
        console.print(f"[dim]{say('cli.check.assumed', assumption=assumption)}[/]", soft_wrap=True)
    default = tuple(m.id for m in check.materials if m.resting_on == "default")
    if default:
        console.print(f"[dim]{say('cli.check.defaults', materials=default)}[/]", soft_wrap=True)
    for caution in check.cautions:
        console.print(say("cli.check.caution", caution=caution), soft_wrap=True)
