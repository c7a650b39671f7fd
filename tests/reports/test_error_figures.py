"""Pictures of errors: true to the figures, no name on another, readable without colour."""

from __future__ import annotations

import io
import math
import xml.etree.ElementTree as ET
from itertools import combinations, pairwise

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from PIL import Image

from construct.reports import View, error_figures
from construct.reports import _budget_chart as budget
from construct.reports import _error_places as places
from construct.study import Study

SVG = "{http://www.w3.org/2000/svg}"
NAMES = ("demo", "board", "oval", "crowded")


@pytest.fixture(scope="module")
def sheets(measured: dict[str, Study]) -> dict[str, Figure]:
    """The pictures as figures, by layout and kind."""
    made = {f"{name} ellipses": error_figures.EllipseSheet(measured[name], "mm").figure for name in NAMES}
    made |= {f"{name} bands": error_figures.BandSheet(measured[name], "in").figure for name in ("demo", "board")}
    for name in NAMES:
        drawn = budget.chart(measured[name], "mm")
        assert drawn is not None
        made[f"{name} budget"] = drawn
    return made


@pytest.fixture(scope="module")
def pictures(measured: dict[str, Study]) -> dict[str, bytes]:
    """The demo's files."""
    return error_figures.files(measured["demo"], View())


def boxes(figure: Figure) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Return every text with the box of its ink, in points."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    found = []
    for text in figure.axes[0].texts:
        if text.get_text().strip():
            box = text.get_window_extent(renderer)
            found.append((text.get_text(), (box.x0, box.y0, box.x1, box.y1)))
    return found


@pytest.mark.parametrize("name", [f"{name} {kind}" for name in NAMES for kind in ("ellipses", "budget")] + ["demo bands", "board bands"])
def test_no_text_lies_on_another_or_leaves_the_sheet(sheets: dict[str, Figure], name: str) -> None:
    """No two texts share a point of ink's box, and all are on the sheet."""
    figure = sheets[name]
    found = boxes(figure)
    width, height = figure.get_size_inches() * 72
    for said, (left, bottom, right, top) in found:
        assert left >= 0 and bottom >= 0 and right <= width and top <= height, said
    for (a, p), (b, q) in combinations(found, 2):
        apart = p[2] <= q[0] + 0.5 or q[2] <= p[0] + 0.5 or p[3] <= q[1] + 0.8 or q[3] <= p[1] + 0.8
        assert apart, (a, b)


def test_all_pictures_are_there(pictures: dict[str, bytes]) -> None:
    """Three pictures, twice each; each SVG has a title and words for those who do not see it; each PNG opens."""
    assert {f"{name}.{kind}" for name in ("ellipses", "bands", "budget") for kind in ("svg", "png")} == set(pictures)
    for name, content in pictures.items():
        if name.endswith("svg"):
            root = ET.fromstring(content)
            assert (SVG + "title", SVG + "desc") == tuple(child.tag for child in root)[:2]
            assert "Clock dial with twelve leaves" in (root[0].text or "")
            assert len(root[1].text or "") > 40
        else:
            with Image.open(io.BytesIO(content)) as image:
                assert len(image.convert("L").getcolors(1 << 16)) > 20


def test_only_what_there_are_figures_for(measured: dict[str, Study], studies: dict[str, Study]) -> None:
    """Nothing cut, no bands; no errors asked for, no pictures."""
    assert {"ellipses.svg", "ellipses.png", "budget.svg", "budget.png"} == set(error_figures.files(measured["oval"], View()))
    assert {} == error_figures.files(studies["oval"], View())


def test_the_factor_is_on_the_picture(sheets: dict[str, Figure], measured: dict[str, Study]) -> None:
    """How many times larger, which bench, and that it is judgement stands under the title of each picture."""
    for kind in ("ellipses", "bands"):
        said = " ".join(text.get_text() for text in sheets[f"demo {kind}"].axes[0].texts)
        assert " times as " in said
        assert "bench ordinary" in said
        assert "judgement" in said
    sheet = error_figures.EllipseSheet(measured["demo"], "mm")
    assert f"drawn {sheet.times} times as large" in " ".join(text.get_text() for text in sheet.axes.texts)


@pytest.mark.parametrize(("most", "room", "times"), [(1.5, 16.9, 10), (1.5, 14.9, 5), (0.001, 2.0, 1000), (30.0, 2.0, 1), (1.0, 1.0, 1)])
def test_the_factor_fits(most: float, room: float, times: int) -> None:
    """The largest round factor that fits is taken, and never one under 1."""
    assert times == places.factor(most, room)


def test_ellipses_are_true(measured: dict[str, Study]) -> None:
    """Over each outline, x and y reach √χ²·u each: 2.4477·u_x and 2.4477·u_y from the mark (its bounding box), drawn larger."""
    found = measured["demo"].errors
    assert found is not None
    marks = places.shown_marks(measured["demo"])
    assert {"C", "B", "T", "L", "R", "M"} <= {mark.name for mark in marks}
    for mark, spread in zip(marks, places.spreads(marks, 10), strict=True):
        wide = max(x for x, _ in spread.outline) - mark.x_mm
        tall = max(y for _, y in spread.outline) - mark.y_mm
        k = math.sqrt(5.991)  # χ², 2 degrees of freedom, 95 %: any table
        assert pytest.approx([10 * k * mark.u_x_mm, 10 * k * mark.u_y_mm], rel=3e-3) == [wide, tall]
        # it leans to the right of the grain where x and y go together
        if abs(mark.r) > 0.05:
            highest = max(spread.outline, key=lambda at: at[1])
            assert (highest[0] > mark.x_mm) is (mark.r > 0)


def test_bands_are_true(measured: dict[str, Study]) -> None:
    """At an edge's start the band is 1.96·√(u² + knife²) wide to each side, times the factor, square to the edge."""
    found = measured["demo"].errors
    assert found is not None
    for edge, band in zip(found.edges, places.bands(measured["demo"], 3.0), strict=True):
        first = band.parts[0][1]
        station = edge.stations[0]
        left, right = first[0], first[-1]
        assert pytest.approx(2 * 3 * 1.96 * math.hypot(station.u_mm, 0.2), rel=1e-3) == math.dist(left, right)
        assert pytest.approx((station.x_mm, station.y_mm), abs=1e-6) == band.run[0]
        assert pytest.approx((edge.stations[1].x_mm, edge.stations[1].y_mm), abs=1e-6) == band.run[places.STEPS]
        assert pytest.approx((edge.stations[2].x_mm, edge.stations[2].y_mm), abs=1e-6) == band.run[-1]


@pytest.mark.parametrize("name", NAMES)
def test_bars_hold_everything(measured: dict[str, Study], name: str) -> None:
    """The bars' parts add up to the whole; the first is the longest of the single steps."""
    found = measured[name].errors
    assert found is not None
    _, rows = budget.bars(found)
    assert pytest.approx(1.0) == math.fsum(bar.share for bar in rows)
    for bar in rows:
        assert pytest.approx(bar.share) == math.fsum(part for _, part in bar.pieces)
    singles = [bar.share for bar in rows if not bar.name.startswith("the other")]
    assert singles == sorted(singles, reverse=True)


def test_bars_are_true(sheets: dict[str, Figure], measured: dict[str, Study]) -> None:
    """On the chart the pieces' lengths stand to one another as their parts of the mean square."""
    found = measured["demo"].errors
    assert found is not None
    _, rows = budget.bars(found)
    pieces = [patch for patch in sheets["demo budget"].axes[0].patches if isinstance(patch, Rectangle) and patch.get_height() == budget.BAR]
    by_row: dict[float, float] = {}
    for patch in pieces:
        by_row[patch.get_y()] = by_row.get(patch.get_y(), 0.0) + patch.get_width()
    lengths = [by_row[y] for y in sorted(by_row, reverse=True)]
    assert pytest.approx([bar.share / rows[0].share for bar in rows]) == [length / lengths[0] for length in lengths]


def grey(colour: str) -> float:
    """Return a colour's lightness in grey, 0…1 (ITU-R BT.601: 0.299, 0.587, 0.114; from memory)."""
    red, green, blue = (int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


def test_pieces_differ_without_colour() -> None:
    """Any two sources' looks differ by hatching, or by a tenth of the way from black to white."""
    for (a, p), (b, q) in combinations((*budget.LOOKS, budget.OTHERS), 2):
        assert p != q or abs(grey(a) - grey(b)) >= 0.1, (a, b)


def test_tones_differ_without_colour() -> None:
    """What an eye sees goes from light to dark, each a good step darker."""
    tones = [grey(tone) for tone in error_figures.TONES]
    assert all(light - dark >= 0.08 for light, dark in pairwise(tones))


def test_the_same_study_gives_the_same_pictures(measured: dict[str, Study]) -> None:
    """Files are the same to the byte when made again."""
    assert error_figures.files(measured["board"], View()) == error_figures.files(measured["board"], View())
