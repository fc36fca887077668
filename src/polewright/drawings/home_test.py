"""The test that a buyer can repeat at home: two trestles, a strap, a tape and a bottle."""

from polewright.drawings.dimension import level, upright
from polewright.drawings.style import line, number, path, rect, svg, text
from polewright.words.reader import Reader

__all__ = ["home_test_drawing"]

WIDTH, HEIGHT, LINE = 420.0, 178.0, 44.0
BUTT, PROP, TIP, DROP = 30.0, 92.0, 350.0, 62.0


def home_test_drawing(reader: Reader, *, prop: float = 1.0, paper: bool = False) -> str:
    """How the pole is held and read, as SVG, not to scale: butt strapped, prop [m] from it, bottle at the tip."""
    tip = LINE + DROP
    curve = (
        f'<path d="M{number(BUTT)},{number(LINE)} L{number(PROP)},{number(LINE)} '
        f'C{number(PROP + 90)},{number(LINE)} {number(TIP - 90)},{number(tip - 34)} {number(TIP)},{number(tip)}" '
        'class="tube" stroke-width="4"/>'
    )
    parts = [
        line(BUTT - 12.0, LINE, TIP + 44.0, LINE, "datum"),
        curve,
        *_trestles(reader),
        *_bottle(tip),
        level(BUTT, PROP, LINE - 26.0, reader.say("sheet.prop", prop=prop), start=LINE, kind="small"),
        upright(LINE, tip, TIP + 32.0, "D", start=TIP, kind="dim"),
        text((PROP + TIP) / 2.0 + 24.0, LINE - 8.0, reader.say("drawing.home_test.line"), "cap small mid"),
        line(0.0, HEIGHT - 22.0, WIDTH, HEIGHT - 22.0, "hair"),
    ]
    return svg(WIDTH, HEIGHT, parts, title=reader.say("drawing.home_test.title", prop=prop), paper=paper)


def _trestles(reader: Reader) -> list[str]:
    floor = HEIGHT - 22.0
    out = []
    for x, words in ((BUTT, reader.say("drawing.home_test.strap")), (PROP, reader.say("drawing.home_test.prop"))):
        out += [
            line(x, LINE + 10.0, x - 13.0, floor),
            line(x, LINE + 10.0, x + 13.0, floor),
            text(x, HEIGHT - 6.0, words, "cap small mid"),
        ]
    out.append(
        path(
            [(BUTT - 5.0, LINE + 10.0), (BUTT - 5.0, LINE - 4.0), (BUTT + 5.0, LINE - 4.0), (BUTT + 5.0, LINE + 10.0)],
            "line",
        )
    )
    out.append(path([(PROP, LINE + 2.5), (PROP - 6.0, LINE + 12.0), (PROP + 6.0, LINE + 12.0)], "line", closed=True))
    return out


def _bottle(tip: float) -> list[str]:
    top = tip + 18.0
    return [
        line(TIP, tip, TIP, top, "thin"),
        rect(TIP - 2.5, top, 5.0, 4.0, "thin"),
        path(
            [
                (TIP - 2.5, top + 4.0),
                (TIP - 7.0, top + 9.0),
                (TIP - 7.0, top + 28.0),
                (TIP + 7.0, top + 28.0),
                (TIP + 7.0, top + 9.0),
                (TIP + 2.5, top + 4.0),
            ],
            "outline",
            closed=True,
        ),
        line(TIP - 7.0, top + 15.0, TIP + 7.0, top + 15.0, "hair"),
    ]
