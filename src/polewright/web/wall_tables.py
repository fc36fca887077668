"""The tables of one section's wall, one tap deeper; each knows its columns and why its figures are what they are."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from polewright.web.why import Why
from polewright.words import Reader
from polewright.words.clamps import break_text, collar_name, load_text
from polewright.words.significant import significant_parts, significant_text
from polewright.words.wall import change_text, limit_parts, squeeze_text, step_text, tier_name, tier_parts
from polewright.workshop import BandWindow
from polewright.workshop.wall import ChangeEffect, PlyShare, Slope, WallAnswer

__all__ = ["DetailTable", "Whys", "capital", "deeper_tables", "first_tables", "further_tables"]

_FIGURE = set("0123456789.,+\u2212\u202f %")
MOST_STEPS = 8
Whys = Mapping[str, Why]


@dataclass(frozen=True, slots=True)
class DetailTable:
    """A group of figures: the first column names the row; rows to look at by their place."""

    key: str
    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    why: tuple[Why, ...] = ()
    note: str = ""
    look: tuple[int, ...] = ()

    @property
    def numbers(self) -> tuple[bool, ...]:
        """Which columns hold figures alone, to be set flush right."""
        return tuple(
            all(set(cell) <= _FIGURE for cell in column) and any(column) for column in zip(*self.rows, strict=True)
        )


def capital(text: str) -> str:
    """A text as a sentence begins, with its full stop."""
    return f"{text[:1].upper()}{text[1:]}."


def first_tables(f: WallAnswer, whys: Whys, reader: Reader) -> tuple[DetailTable, ...]:
    """What ends the wall, and both theories beside each other."""
    return (_limits(f, whys, reader), _tiers(f, whys, reader))


def further_tables(f: WallAnswer, whys: Whys, reader: Reader, currency: str) -> tuple[DetailTable, ...]:
    """Squeezed, first ply, after cool-down, seams, what each ply earns and what a change does."""
    return (
        _squeeze(f, whys, reader),
        _reserves(f, whys, reader),
        _cool(f, whys, reader),
        _seams(f, whys, reader),
        _earns(f, whys, reader),
        _changes(f, whys, reader, currency),
    )


def deeper_tables(f: WallAnswer, whys: Whys, reader: Reader) -> tuple[DetailTable, ...]:
    """The long ones: stress of every layer, and slopes."""
    return (_stresses(f, whys, reader), _slopes(f, whys, reader))


def _head(key: str, columns: Iterable[str], reader: Reader) -> tuple[str, ...]:
    """Heads of columns by their codes; "" is a column without one."""
    return tuple(reader.say(f"wall.table.{key}.{column}") if column else "" for column in columns)


def _limits(f: WallAnswer, whys: Whys, reader: Reader) -> DetailTable:
    say = reader.say
    rows = []
    for limit in f.limits:
        name = say(f"wall.limit.under.{limit.under}", limit=say(f"wall.limit.{limit.name}"))
        rows.append(
            (
                say("wall.limit.first", name=name) if limit.is_first else name,
                *limit_parts(limit.under, limit.load, reader),
                reader.number(limit.knock_down, 2),
                "" if limit.is_in_range else say("wall.limit.beyond"),
            )
        )
    ranges = dict.fromkeys(
        capital(say("wall.limit.range", limit=say(f"wall.limit.{limit.name}"), range=limit.range)) for limit in f.limits
    )
    return DetailTable(
        "limits",
        say("wall.table.limits"),
        _head("limits", ("by", "at", "", "knock_down", ""), reader),
        tuple(rows),
        (whys["reserves"], whys["flattening"], whys["wrinkling"]),
        " ".join(ranges),
        look=tuple(i for i, limit in enumerate(f.limits) if limit.is_first),
    )


def _tiers(f: WallAnswer, whys: Whys, reader: Reader) -> DetailTable:
    rows = []
    for t in f.tiers:
        (thin, unit), (exact, _) = (tier_parts(t.key, value, reader) for value in (t.thin, t.exact))
        apart = "" if t.exact == 0.0 else reader.say("wall.table.tiers.apart", share=t.thin / t.exact - 1.0)
        rows.append((tier_name(t.key, reader), exact, thin, unit, apart))
    rows.append((reader.say("wall.tier.shear_coefficient"), reader.number(f.shear_coefficient, 3), "", "", ""))
    return DetailTable(
        "tiers",
        reader.say("wall.table.tiers"),
        _head("tiers", ("figure", "exact", "thin", "", "reads"), reader),
        tuple(rows),
        (whys["exact"], whys["thin"], whys["ring"]),
    )


def _squeeze(f: WallAnswer, whys: Whys, reader: Reader) -> DetailTable:
    say, r = reader.say, f.round
    rows = []
    for s in r.squeezes:
        breaks = say("wall.squeeze.guide", broken=s.broken) if s.is_large else reader.text(s.broken)
        closes = significant_text(s.closure, "length", reader)
        rows.append((squeeze_text(s, reader), *significant_parts(s.force, "force", reader, 3), closes, breaks))
    own, window = r.clamp, say("clamp.window" if r.clamp.is_open else "clamp.no_window")
    rows.append((say("wall.squeeze.collar.least"), *_force(own.least, reader), "", ""))
    rows.append((say("wall.squeeze.collar.most"), *_force(own.most, reader), "", window))
    rows += [row for c in r.collars for row in _collar_rows(c, reader)]
    return DetailTable(
        "squeeze",
        say("wall.table.squeeze"),
        _head("squeeze", ("how", "bears", "", "closes", "breaks"), reader),
        tuple(rows),
        (whys["squeezes"], whys["band"], whys["ring"]),
    )


def _collar_rows(c: BandWindow, reader: Reader) -> list[tuple[str, str, str, str, str]]:
    """First crack, first broken fibre and collapse of a wall under one make of clamp."""
    rows = []
    for what, place in (("crack", c.crack_at), ("fibre", c.fibre_at), ("collapse", None)):
        load: float | None = getattr(c, what)
        name = reader.say(f"wall.squeeze.collar.{what}", kind=collar_name(c.kind, reader))
        where = break_text(place, c.kind, reader)
        if load is None or load <= 0.0:
            rows.append((name, "", "", "", load_text(load, what, reader)))
        else:
            rows.append((name, *_force(load, reader), "", where))
    return rows


def _force(value: float, reader: Reader) -> tuple[str, str]:
    return significant_parts(value, "force", reader, 3)


def _reserves(f: WallAnswer, whys: Whys, reader: Reader) -> DetailTable:
    say = reader.say
    rows = tuple(
        (
            say(f"wall.reserve.{r.strengths}", criterion=say(f"criterion.{r.criterion}")),
            _times(r.cure_in, reader),
            reader.text(r.broken_in),
            _times(r.cure_out, reader),
            reader.text(r.broken_out),
        )
        for r in f.reserves
    )
    steps = () if f.strength is None else f.strength.steps[:MOST_STEPS]
    told = "; ".join(step_text(step, reader) for step in steps)
    return DetailTable(
        "reserves",
        say("wall.table.reserves", moment=f.reference_moment),
        _head("reserves", ("criterion", "cure_in", "breaks", "cure_out", "breaks"), reader),
        rows,
        (whys["reserves"], whys["last_ply"]),
        say("wall.table.reserves.steps", steps=told) if told else "",
    )


def _times(value: float | None, reader: Reader) -> str:
    return reader.say("wall.reserve.none") if value is None else reader.number(value, 2)


def _cool(f: WallAnswer, whys: Whys, reader: Reader) -> DetailTable:
    cool, grips = f.cool, f.cool.gap < 0.0
    rows: list[tuple[str, float, str, int, str | None]] = [
        ("bore", cool.bore, "length", 5, None),
        ("outside", cool.outside, "length", 5, None),
        ("length_change", cool.length_change, "length", 2, None),
        ("twist", cool.twist, "angle", 2, None),
        ("grips" if grips else "gap", abs(cool.gap), "length", 2, None),
    ]
    if cool.pull_off > 0.0:
        rows += [("pressure", cool.pressure, "stress", 2, None), ("pull_off", cool.pull_off, "force", 2, "kN")]
    return DetailTable(
        "cool",
        reader.say("wall.table.cool"),
        _head("cool", ("figure", "", ""), reader),
        tuple(
            (reader.say(f"wall.cool.{key}"), *significant_parts(value, quantity, reader, digits, unit=unit))
            for key, value, quantity, digits, unit in rows
        ),
        (whys["release"],),
        capital(reader.text(cool.fit)),
        look=(4,) if grips else (),
    )


def _seams(f: WallAnswer, whys: Whys, reader: Reader) -> DetailTable:
    say, seams = reader.say, f.seams
    starts = ", ".join(reader.bare(s, "angle", 0) for s in seams.starts)
    rows = (
        (say("wall.seams.starts"), starts, say("wall.seams.clock")),
        (say("wall.seams.peak_to_peak"), reader.bare(seams.peak_to_peak, "share", 2), reader.unit("share")),
        (say("wall.seams.spine"), reader.bare(seams.spine, "angle", 0), reader.unit("angle")),
        (say("wall.seams.bow"), *significant_parts(seams.bow, "length", reader, 2)),
    )
    return DetailTable(
        "seams", say("wall.table.seams"), _head("seams", ("figure", "", ""), reader), rows, (whys["seams"],)
    )


def _percents(value: object, names: Iterable[str], digits: int, reader: Reader) -> tuple[str, ...]:
    return tuple(reader.bare(getattr(value, name), "share", digits) for name in names)


def _earns(f: WallAnswer, whys: Whys, reader: Reader) -> DetailTable:
    columns = ("along", "around", "twist", "mass", "cost")
    rows = tuple((_ply(e, reader), *_percents(e, columns, 1, reader)) for e in f.earns)
    head = _head("earns", ("ply", *columns), reader)
    return DetailTable("earns", reader.say("wall.table.earns"), head, rows, (whys["earns"],))


def _ply(e: PlyShare, reader: Reader) -> str:
    return reader.say("wall.ply", ply=e.ply, angle=e.angle, prepreg=e.prepreg, turns=e.turns)


def _changes(f: WallAnswer, whys: Whys, reader: Reader, currency: str) -> DetailTable:
    columns = ("axial", "bending", "twist", "ring", "flattening", "mass")
    rows = tuple(_change_row(c, columns, reader) for c in f.changes)
    head = (
        *_head("changes", ("ply", *columns), reader),
        reader.say("wall.table.changes.wall", unit=reader.unit("length")),
        reader.say("wall.table.changes.cost", currency=currency),
    )
    return DetailTable("changes", reader.say("wall.table.changes"), head, rows, (whys["slopes"],))


def _change_row(c: ChangeEffect, columns: Iterable[str], reader: Reader) -> tuple[str, ...]:
    moved = (_signed(text) for text in _percents(c, columns, 1, reader))
    name = reader.say("wall.change", ply=c.ply, change=change_text(c.what, reader))
    return (name, *moved, reader.bare(c.wall, "length", 3), reader.number(c.cost, 2))


def _signed(text: str) -> str:
    """A number with its sign, nothing before a zero."""
    return f"+{text}" if not text.startswith("\u2212") and text.strip("0.,") else text


def _slopes(f: WallAnswer, whys: Whys, reader: Reader) -> DetailTable:
    columns = ("axial", "bending", "twist", "shear", "ring", "flattening", "mass")
    rows = tuple((_slope_name(s, reader), *_percents(s, columns, 3, reader)) for s in f.slopes)
    head = _head("slopes", ("ply", *columns), reader)
    return DetailTable("slopes", reader.say("wall.table.slopes"), head, rows, (whys["slopes"],))


def _slope_name(s: Slope, reader: Reader) -> str:
    step = reader.say("wall.step.angle" if s.parameter == "angle" else "wall.step.share")
    return reader.say("wall.slope", ply=s.ply, input=reader.say(f"wall.input.{s.parameter}"), step=step)


def _stresses(f: WallAnswer, whys: Whys, reader: Reader) -> DetailTable:
    say = reader.say
    stresses = () if f.strength is None else f.strength.stresses
    rows = tuple(
        (
            say(f"wall.face.{s.face}", layer=s.layer, angle=s.angle, prepreg=s.prepreg),
            *(reader.bare(v, "stress", 1) for v in (*s.cure, *s.bending)),
            _times(s.reserve, reader),
            say(f"failure.mode.{s.mode}"),
        )
        for s in stresses
    )
    columns = ("layer", "cure_along", "across", "shear", "bending_along", "across", "shear", "bears", "breaks")
    title = say("wall.table.stresses", unit=reader.unit("stress"))
    return DetailTable("stresses", title, _head("stresses", columns, reader), rows, (whys["reserves"],))
