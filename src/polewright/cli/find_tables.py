"""The answer of a search as tables on the terminal."""

from collections.abc import Callable
from pathlib import Path

from rich.console import Console
from rich.markup import escape

from polewright.cli.output import table_of
from polewright.words import Reader
from polewright.words.check import stack_text
from polewright.words.find import conflict_text, count_text, miss_texts, offer_text, way_text
from polewright.words.reports.plain import plain_text
from polewright.workshop import FindAnswer, FoundDesign

__all__ = ["show_answer"]

Say = Callable[..., str]
WRONG_PLACE = 2.0  # times less droop saved for the money than where it saves most


def show_answer(console: Console, answer: FindAnswer, reader: Reader, out: Path | None) -> None:
    """All tables of one answer; `out` is the file that the best pole was written to."""

    def say(code: str, /, **values: object) -> str:
        """A text without marks of the console's own."""
        return escape(plain_text(reader.say(code, **values)))

    stopped = "" if answer.is_complete else f"   {say('find.stopped')}"
    console.print(f"[bold]{escape(answer.name)}[/]  {say(f'cli.find.best.{answer.aim}')}{stopped}")
    if answer.best is None:
        _why_not(console, answer, reader, say)
    else:
        _best(console, answer.best, answer.currency, reader, say)
        console.print(f"{say('cli.find.out') if out is None else say('cli.find.written', out=out)}\n", soft_wrap=True)
    _proof(console, answer, reader, say)
    _front(console, answer, reader, say)
    _money(console, answer, reader, say)
    if answer.offers:
        console.print(f"[bold]{say('cli.find.offers')}[/]")
        for number, offer in enumerate(answer.offers, 1):
            console.print(_line(f"{number}. {offer_text(offer, answer.currency, reader)}"), soft_wrap=True)
        console.print()
    for note in answer.notes:
        console.print(f"[dim]{_line(reader.text(note))}[/]", soft_wrap=True)
    console.print(f"[dim]{say('cli.find.no_certificate')}[/]", soft_wrap=True)


def _line(text: str) -> str:
    return escape(plain_text(text))


def _figures(pole: FoundDesign, currency: str) -> dict[str, object]:
    return {
        "droop": pole.droop,
        "flex": pole.flex,
        "mass": pole.mass,
        "cost": pole.material_cost,
        "currency": currency,
        "base": pole.base_outside,
        "closed": pole.closed,
        "carry": pole.carry,
    }


def _best(console: Console, best: FoundDesign, currency: str, reader: Reader, say: Say) -> None:
    console.print(f"{say('cli.find.figures', **_figures(best, currency))}\n")
    table = table_of(say("cli.find.sections"), "", say("cli.find.mandrel"), say("cli.find.stack"))
    for column in table.columns[1:]:
        column.justify = "left"
    for i, (mandrel, stack) in enumerate(zip(best.mandrels, best.stacks, strict=True), 1):
        table.add_row(f"S{i}", escape(mandrel), escape(stack_text(stack)))
    console.print(table)
    for miss in miss_texts(best, reader, is_short=True):
        console.print(f"[bold red]{say('verdict.look')}[/]  {_line(miss)}", soft_wrap=True)
    console.print(say("cli.find.meets") if not best.misses else "")


def _why_not(console: Console, answer: FindAnswer, reader: Reader, say: Say) -> None:
    if answer.is_hopeless:
        console.print(f"{say('cli.find.hopeless')}\n", soft_wrap=True)
        return
    if not answer.conflict:
        console.print(f"{say('cli.find.none_so_far')}\n")
        return
    wishes = tuple(conflict_text(wish, answer.currency, reader) for wish in answer.conflict)
    lead = f"[bold]{say('cli.find.none')}[/] {say('cli.find.conflict', wishes=wishes)}"
    console.print(lead, soft_wrap=True)
    for way in answer.ways:
        console.print(f"  {_line(way_text(way, answer.currency, reader))}", soft_wrap=True)
        if way.pole is not None:
            figures = say("cli.find.way_figures", **_figures(way.pole, answer.currency))
            console.print(f"    [dim]{figures}[/]", soft_wrap=True)
    console.print()


def _proof(console: Console, answer: FindAnswer, reader: Reader, say: Say) -> None:
    console.print(f"[bold]{say('cli.find.proof')}[/]")
    for count in answer.counts:
        console.print(_line(count_text(count, reader)), soft_wrap=True)
    best = answer.best
    if best is not None and best.gap is not None:
        lead = say("find.proof.complete" if answer.is_complete else "find.proof.stopped", gap=best.gap)
        own = "cli.find.proof.droop" if answer.aim == "droop" else f"cli.find.proof.{answer.aim}"
        console.print(f"{lead}{say(own, droop=best.droop_search)}")
    elif best is None and answer.is_complete:
        console.print(say("find.proof.none"))
    console.print(f"[dim]{say('cli.find.proof_of', model=answer.model)}[/]\n", soft_wrap=True)


def _front(console: Console, answer: FindAnswer, reader: Reader, say: Say) -> None:
    if not answer.front:
        return
    table = table_of(
        say("cli.find.trade"),
        "",
        say("cli.find.column.droop", unit=reader.unit("length")),
        say("cli.find.column.mass", unit=reader.unit("mass")),
        escape(answer.currency),
        say("cli.find.column.base", unit=reader.unit("length")),
        say("cli.find.column.flex", unit=reader.unit("flex")),
        say("cli.find.column.gap"),
        say("cli.find.column.brief"),
    )
    for i, pole in enumerate(answer.front, 1):
        table.add_row(
            str(i),
            _line(reader.bare(pole.droop, "length", 0)),
            _line(reader.bare(pole.mass, "mass", 0)),
            _line(reader.number(pole.material_cost, 0)),
            _line(reader.bare(pole.base_outside, "length", 2)),
            _line(reader.bare(pole.flex, "flex", 1)),
            "" if pole.gap is None else say("cli.find.gap", gap=pole.gap),
            say("place.find.misses", count=len(pole.misses)) if pole.misses else say("place.find.meets"),
        )
    console.print(table)
    console.print()


def _money(console: Console, answer: FindAnswer, reader: Reader, say: Say) -> None:
    if not answer.money:
        return
    currency, unit = answer.currency, reader.unit("length")
    table = table_of(
        say("cli.find.money"),
        "",
        say("cli.find.column.saved", unit=unit),
        escape(currency),
        say("cli.find.column.rate", unit=unit, currency=currency),
        say("cli.find.column.by"),
    )
    table.columns[4].justify = "left"
    for row in answer.money:
        saved, rate = (reader.bare(row.droop_saved, "length", 0), reader.bare(row.rate, "length", 2))
        cost = reader.number(row.cost, 0)
        table.add_row(f"S{row.section}", _line(saved), _line(cost), _line(rate), escape(stack_text(row.stack)))
    console.print(table)
    last, first = answer.money[-1], answer.money[0]
    if last.rate < first.rate / WRONG_PLACE:
        places = {"section": last.section, "rate": last.rate, "best": first.section, "best_rate": first.rate}
        console.print(f"[dim]{say('cli.find.wrong_place', currency=currency, **places)}[/]", soft_wrap=True)
    console.print()
