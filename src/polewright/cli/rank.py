"""`polewright rank`: several designs against the brief, as tables or as JSON."""

from pathlib import Path

from rich.console import Console
from rich.markup import escape

from polewright.cli.check import checked_from
from polewright.cli.output import console_of, table_of, without_markup, write_json
from polewright.words import Reader, default_reader
from polewright.words.ranking import acceptable_text, miss_names, reason_texts
from polewright.words.reports.ranking import ranking_report
from polewright.workshop import Ranking, rank_designs

__all__ = ["run"]


def run(files: list[Path], *, supposed: list[str], as_json: bool) -> None:
    """Rank several designs by what they are for."""
    ranking = rank_designs([checked_from(file, supposed) for file in files])
    if as_json:
        report = ranking_report(ranking, default_reader())
        write_json(report)
        return
    _show(console_of(132), without_markup(ranking), default_reader())


def _show(console: Console, ranking: Ranking, reader: Reader) -> None:
    """The order of the designs, why, and what a limit costs."""
    say, length = reader.say, reader.unit("length")
    table = table_of(
        say("cli.rank.title"),
        "",
        say("cli.rank.pole"),
        reader.unit("mass"),
        say("cli.find.column.droop", unit=length),
        reader.unit("flex"),
        ranking.currency,
        say("cli.find.column.base", unit=length),
        say("cli.rank.misses"),
    )
    table.columns[1].justify = table.columns[7].justify = "left"
    for design in ranking.designs:
        table.add_row(
            str(design.place),
            design.name,
            reader.bare(design.mass, "mass", 0),
            reader.bare(design.droop, "length", 0),
            reader.bare(design.added_droop, "flex", 1),
            reader.number(design.material_cost, 0),
            reader.bare(design.base_outside, "length", 2),
            "; ".join(escape(name) for name in miss_names(design, reader)) or say("cli.rank.misses.nothing"),
        )
    console.print(table)
    console.print()
    for design in ranking.designs:
        for reason in reason_texts(design, ranking, reader):
            line = say("cli.rank.reason", place=design.place, name=design.name, reason=reason)
            console.print(line, soft_wrap=True)
    for offer in ranking.offers:
        text = acceptable_text(offer, ranking.currency, reader)
        console.print(say("cli.rank.offer", offer=text), soft_wrap=True)
