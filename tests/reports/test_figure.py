"""The picture: names never cover each other, lines keep their kinds, and the bars are true."""

from __future__ import annotations

import io
import math
import xml.etree.ElementTree as ET
from itertools import combinations

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.textpath import TextPath
from PIL import Image

from construct.reports import figure
from construct.reports._labels import Wish, place
from construct.reports._pen import around
from construct.reports._shapes import shapes
from construct.study import Study, study

NAMES = ("demo", "demo by ruler", "paper", "board", "open", "oval", "crowded")
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="session")
def drawings(studies: dict[str, Study]) -> dict[str, Figure]:
    """The drawing of each study."""
    return {name: figure.drawing(studies[name]) for name in NAMES}


@pytest.fixture(scope="session")
def pictures(studies: dict[str, Study]) -> dict[str, bytes]:
    """The demo's picture files."""
    return figure.figures(studies["demo"])


def named(drawing: Figure) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Return each name with the box of its ink, from the outlines of its letters, in points."""
    (axes,) = drawing.axes
    found = []
    for text in axes.texts:
        if text.get_gid() == "name":
            ink = TextPath(text.get_position(), text.get_text(), prop=text.get_fontproperties(), usetex=False).get_extents()
            found.append((text.get_text(), tuple(ink.extents)))
    return found


def test_ink_is_where_the_renderer_puts_it(drawings: dict[str, Figure]) -> None:
    """The box of the ink lies in the box that the renderer reserves for the text, to half a point: both are in one measure."""
    drawing = drawings["board"]
    renderer = FigureCanvasAgg(drawing).get_renderer()
    reserved = [text.get_window_extent(renderer).extents for text in drawing.axes[0].texts if text.get_gid() == "name"]
    for (text, ink), box in zip(named(drawing), reserved, strict=True):
        assert box[0] - 0.6 <= ink[0] and box[1] - 0.6 <= ink[1] and ink[2] <= box[2] + 0.6 and ink[3] <= box[3] + 0.6, text


@pytest.mark.parametrize("name", NAMES)
def test_no_name_covers_another(drawings: dict[str, Figure], name: str) -> None:
    """The boxes of the ink of any two names are apart."""
    boxes = named(drawings[name])
    assert len(boxes) >= 3
    covering = [
        (a, b) for (a, p), (b, q) in combinations(boxes, 2) if p[0] < q[2] and q[0] < p[2] and p[1] < q[3] and q[1] < p[3]
    ]
    assert covering == []


@pytest.mark.parametrize("name", NAMES)
def test_no_name_covers_a_mark_or_leaves_the_sheet(drawings: dict[str, Figure], name: str) -> None:
    """No mark's ring has its middle in a name's box, and every name is on the sheet."""
    drawing = drawings[name]
    (axes,) = drawing.axes
    rings = [line.get_xydata()[0] for line in axes.lines if isinstance(line, Line2D) and line.get_marker() == "o"]
    wide, high = drawing.get_size_inches() * 72
    for text, (left, bottom, right, top) in named(drawing):
        assert not [xy for xy in rings if left < xy[0] < right and bottom < xy[1] < top], text
        assert 0 <= left and 0 <= bottom and right <= wide and top <= high, text


@pytest.mark.parametrize("name", ["demo", "board"])
def test_no_name_covers_a_cut(drawings: dict[str, Figure], name: str) -> None:
    """No point of a cut, a groove or the edge lies in the box of a mark's or a line's name."""
    drawing = drawings[name]
    (axes,) = drawing.axes
    widths = {figure.PENS[kind].width for kind in figure.STRONG}
    points = [xy for line in axes.lines if line.get_linewidth() in widths and len(line.get_xydata()) > 8 for xy in line.get_xydata()]
    assert points
    for text, (left, bottom, right, top) in named(drawing):
        assert not [xy for xy in points if left < xy[0] < right and bottom < xy[1] < top], text


def test_plain_names_are_there(drawings: dict[str, Figure]) -> None:
    """Every mark, line and circle of the demo that has a name of its own is named in the picture."""
    texts = {text for text, _ in named(drawings["demo"])}
    assert {"C", "B", "T", "P", "Q", "L", "R", "X", "Y", "M", "g", "h", "f", "k", "m", "rim", "inner"} <= texts


def test_a_crowd_says_what_is_left_out(drawings: dict[str, Figure]) -> None:
    """Where names are left out the sheet says how many; where none is, it says nothing."""
    said = {name: [text.get_text() for text in drawings[name].axes[0].texts if "left out" in text.get_text()] for name in ("demo", "board")}
    assert said["board"] == []
    (line,) = said["demo"]
    assert int(line.split()[0]) > 20


def test_a_name_without_room_is_left_out() -> None:
    """Two names that can only stand in one and the same place: the first gets it, the second none."""
    wish = Wish("A", 10, 10, ((0.0, 0.0),), (0.0,))
    assert [0] == [put.wish for put in place([wish, wish], (-6, -6, 6, 6), [], [], [])]


def test_a_name_that_stands_away_is_led_to() -> None:
    """Where a mark's surroundings are taken its name moves off, with a line back to the mark."""
    wall = [(x / 2, y / 2) for x in range(-24, 25) for y in range(-24, 25) if x or y]
    (put,) = place([Wish("A", 8, 8, ((0.0, 0.0),), (2.0, 8.0, 16.0, 24.0))], (-60, -60, 60, 60), wall, [], [])
    assert put.leader is not None
    assert put.leader[0] == (0.0, 0.0)
    assert math.hypot(*put.leader[1]) >= 12


def test_bars_are_true(drawings: dict[str, Figure]) -> None:
    """The 50 mm and the 2 in bar stand to the plate as 50 and 50.8 to 241.3 (1 in = 25.4 mm, exactly: international yard, 1959)."""
    lines = drawings["demo"].axes[0].lines
    butted = [line.get_xdata() for line in lines if len(line.get_xdata()) == 2 and line.get_solid_capstyle() == "butt"]
    bars = sorted(xs[1] - xs[0] for xs in butted)
    edge = next(line for line in lines if line.get_linewidth() == figure.PENS["edge"].width)
    across = max(edge.get_xdata()) - min(edge.get_xdata())
    assert pytest.approx([50 / 241.3, 50.8 / 241.3]) == [bar / across for bar in bars if bar > 0]


def test_line_widths_follow_the_standard() -> None:
    """Wide lines are at least twice as wide as narrow ones (ISO 128-2: ratio 2 to 1; quoted from memory)."""
    assert figure.WIDE >= 2 * figure.NARROW
    assert figure.WIDEST >= 2 * figure.NARROW


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour (W3C, WCAG 2.1, definition of relative luminance; from memory)."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize(
    ("front", "back", "least"),
    [(figure.INK, figure.WOOD, 4.5), (figure.DARK_BLUE, figure.WOOD, 4.5), (figure.BROWN, figure.CHIP, 4.5),
     (figure.VERMILION, figure.WOOD, 3.0), (figure.GREEN, figure.WOOD, 3.0), (figure.BLUE, figure.WOOD, 3.0)],
)  # fmt: skip
def test_contrast(front: str, back: str, least: float) -> None:
    """Names stand out by 4.5 to 1 and lines by 3 to 1 (W3C, WCAG 2.1, success criteria 1.4.3 and 1.4.11)."""
    high, low = sorted((luminance(front), luminance(back)), reverse=True)
    assert (high + 0.05) / (low + 0.05) >= least


def test_cut_and_groove_differ_without_colour() -> None:
    """No two kinds of line with words of their own are told apart by colour alone."""
    looks = {(pen.width, pen.dashes): pen.says for pen in figure.PENS.values()}
    assert len({pen.says for pen in figure.PENS.values()}) == len(looks)


def test_arcs_are_drawn_short(studies: dict[str, Study]) -> None:
    """An arc without ends spans a few degrees round the marks on it; a circle goes all round."""
    runs = {kind: [stroke.run for stroke in shapes(studies["paper"]).strokes if stroke.kind == kind] for kind in ("arc", "circle")}
    assert len(runs["arc"]) == 4  # two arcs, each round two marks
    for run in runs["arc"]:
        assert math.dist(run[0], run[-1]) < 2 * 100 * math.sin(math.radians(8)) + 1e-6
    assert runs["circle"] == []


@pytest.mark.parametrize(("name", "across", "along"), [("demo", 120.65, 120.65), ("oval", 123.0, 120.0), ("board", 150.0, 100.0)])
def test_nothing_is_drawn_off_the_wood(studies: dict[str, Study], name: str, across: float, along: float) -> None:
    """Every stroke ends at the edge: half-lengths from the recipe's own words (an oval keeps its size along the grain)."""
    strokes = shapes(studies[name]).strokes
    for stroke in strokes:
        for x, y in stroke.run:
            off = max(abs(x) / across, abs(y) / along) if name == "board" else math.hypot(x / across, y / along)
            assert off <= 1 + 1e-5, stroke.kind
    edge = next(stroke for stroke in strokes if stroke.kind == "edge")
    assert pytest.approx((-across, -along, across, along), rel=1e-3) == around(edge.run)


def test_a_line_through_runs_to_the_edge(studies: dict[str, Study]) -> None:
    """The finder line along the grain of the demo runs from edge to edge: 241.3 mm, exactly 9 1/2 in."""
    line = next(stroke for stroke in shapes(studies["demo"]).strokes if stroke.kind == "finder")
    assert pytest.approx(241.3) == math.dist(line.run[0], line.run[-1])


def test_the_long_way_round() -> None:
    """An arc drawn the long way between the ends of a quarter spans three quarters of its circle: 3π/2 · 50 mm."""
    text = "recipe A\npaper\ngiven O at (0, 0) mm, A at (50, 0) mm, B at (0, 50) mm\nstep S\n  z : arc about O, from A to B{}\n"
    lengths = []
    for ending in ("", ", the long way"):
        (stroke,) = (one for one in shapes(study(text.format(ending))).strokes if one.kind == "arc")
        lengths.append(sum(math.dist(a, b) for a, b in zip(stroke.run, stroke.run[1:], strict=False)))
    assert pytest.approx([25 * math.pi, 75 * math.pi], rel=1e-3) == lengths


def test_png_can_be_opened(pictures: dict[str, bytes]) -> None:
    """The PNG opens in an imaging library, says 200 dots an inch, and is not blank."""
    with Image.open(io.BytesIO(pictures["picture.png"])) as image:
        assert pytest.approx((200, 200), abs=0.1) == image.info["dpi"]
        assert len(image.convert("L").getcolors(1 << 16)) > 20


def test_svg_says_what_it_shows(pictures: dict[str, bytes]) -> None:
    """The SVG is XML whose first children are a title and words for those who do not see it."""
    root = ET.fromstring(pictures["picture.svg"])
    assert (SVG + "title", SVG + "desc") == tuple(child.tag for child in root)[:2]
    assert "Clock dial with twelve leaves" == root[0].text
    assert "241.3 mm (9 1/2 in) across" in (root[1].text or "")
    assert {root[0].get("id"), root[1].get("id")} == set((root.get("aria-labelledby") or "").split())


def test_the_same_study_gives_the_same_picture(studies: dict[str, Study]) -> None:
    """Files are the same to the byte when made again: no date, no chance in the ids."""
    assert figure.figures(studies["board"]) == figure.figures(studies["board"])


def test_titles_in_any_script() -> None:
    """Marks of formulas, brackets and letters without a glyph in a title are shown as they are, without a warning."""
    text = "recipe Cost $x_1$ < & 木の皿 </title>\npaper\ngiven A, B, 9 mm apart\nstep S\n  k : line through A and B\n"
    root = ET.fromstring(figure.figures(study(text))["picture.svg"])
    assert "Cost $x_1$ < & 木の皿 </title>" == root[0].text
