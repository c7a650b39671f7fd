"""The sheet at true size: measured from the PDF's own geometry, to 0.01 mm."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from construct import cli
from construct.diagnostics import Mistakes
from construct.reports import View, _one_file, sheet
from construct.reports._ink import bent
from construct.reports._pen import Sweep
from construct.reports._tiles import OVERLAP_MM, PAPERS, Tiling, paper_of, tile
from construct.study import Study, study
from tests.reports.measured_pdf import Place, along, fonts, pages, rounds, size, strokes

NEAR_MM = 0.01

SIZES = {"A4": (210, 297), "A3": (297, 420), "letter": (8.5 * 25.4, 11 * 25.4), "ledger": (11 * 25.4, 17 * 25.4)}
"""ISO 216: A4 and A3; the US sizes in inches of 25.4 mm."""

WIDTHS = {"narrow": 0.25, "middle": 0.35, "wide": 0.5, "widest": 0.7}
"""Line widths of ISO 128-2 (from memory): the series in the ratio √2."""

DIAL_RADIUS = 9.5 * 25.4 / 2
"""The dial's plate is 9 1/2 in across."""

ODD = r"""recipe <b onload="x">&amp; 木 ✂ \ ( ) %d {0} </b>
paper
given A, B, 100 mm apart
step S
  g : line through A and B
"""


@pytest.fixture(scope="module")
def dial(studies: dict[str, Study]) -> dict[str, bytes]:
    """The dial's sheets on each paper."""
    return {name: sheet.page(studies["demo"], View(), paper=name) for name in PAPERS}


def bars(page: object) -> dict[str, list[float]]:
    """Return the lengths of the bars of a page in mm, lying and standing; they are the only lines 0.35 mm wide with no arrow on them."""
    found: dict[str, list[float]] = {"lying": [], "standing": []}
    for stroke in strokes(page):  # type: ignore[arg-type]
        if abs(stroke.width - WIDTHS["middle"]) < 1e-3 and len(stroke.straight) == 1:
            (ax, ay), (bx, by) = stroke.straight[0]
            if math.dist((ax, ay), (bx, by)) > 40:
                found["lying" if abs(by - ay) < NEAR_MM else "standing"].append(math.dist((ax, ay), (bx, by)))
    return found


@pytest.mark.parametrize("name", SIZES)
def test_paper_is_as_large_as_its_standard_says(dial: dict[str, bytes], name: str) -> None:
    """Each page has the size of ISO 216 or of the US size, standing or lying."""
    for page in pages(dial[name]):
        assert sorted(SIZES[name]) == pytest.approx(sorted(size(page)), abs=NEAR_MM)


@pytest.mark.parametrize("name", SIZES)
def test_bars_are_50_mm_and_2_inches_both_ways(dial: dict[str, bytes], name: str) -> None:
    """Every sheet has both bars, lying and standing, each as long as its words say."""
    for page in pages(dial[name]):
        for way, lengths in bars(page).items():
            assert [50.0, 2 * 25.4] == pytest.approx(sorted(lengths), abs=NEAR_MM), way


@pytest.mark.parametrize("name", SIZES)
def test_the_plate_is_as_large_as_it_is(dial: dict[str, bytes], name: str) -> None:
    """The edge of a 9 1/2 in plate is a circle of that size all round, not a polygon near it."""
    for page in pages(dial[name]):
        ((_, least, most),) = rounds(page, WIDTHS["widest"])
        assert (DIAL_RADIUS, DIAL_RADIUS) == pytest.approx((least, most), abs=NEAR_MM)


def test_circles_of_the_layout_are_true(dial: dict[str, bytes]) -> None:
    """The grooves lie 5 mm and 12 mm inside the edge; the third has half the rim's radius."""
    (page,) = pages(dial["ledger"])
    reaches = sorted((least + most) / 2 for _, least, most in rounds(page, WIDTHS["wide"]) if least > 20)
    rim = DIAL_RADIUS - 12
    assert [rim / 2, rim, DIAL_RADIUS - 5] == pytest.approx(reaches, abs=NEAR_MM)


def test_sheets_join(dial: dict[str, bytes]) -> None:
    """Laid so that the plate's middle falls on itself, every cross of one sheet in reach of another falls on the same cross there."""
    crosses: list[set[Place]] = []
    for page in pages(dial["A4"]):
        ((x, y), _, _) = rounds(page, WIDTHS["widest"])[0]
        crosses.append({(round(a - x, 2), round(b - y, 2)) for (a, b), least, most in rounds(page, WIDTHS["narrow"])
                        if most == pytest.approx(1.5, abs=NEAR_MM)})  # fmt: skip
        assert len(crosses[-1]) >= 3
    first, second = crosses
    assert first == second


def test_each_line_has_the_width_of_its_kind(dial: dict[str, bytes]) -> None:
    """Only widths of the series are used, cuts are twice as wide as construction, and a finder's line is long-dashed-dotted."""
    (page,) = pages(dial["ledger"])
    found = strokes(page)
    assert set(WIDTHS.values()) == {round(stroke.width, 3) for stroke in found}
    leaf = [stroke for stroke in found if stroke.bent and abs(stroke.width - WIDTHS["wide"]) < 1e-3 and not stroke.dashes]
    assert 24 == len(leaf)  # two arcs for each of twelve leaves
    narrow = WIDTHS["narrow"]
    # ISO 128-2, line type 04.1 (from memory): long dashes 24 d, gaps 3 d, dots 1/2 d
    finder = [stroke.dashes for stroke in found if len(stroke.dashes) == 4]
    assert [24 * narrow, 3 * narrow, narrow / 2, 3 * narrow] == pytest.approx(finder[0], abs=1e-3)


def test_fonts_lie_in_the_file(dial: dict[str, bytes]) -> None:
    """Nothing depends on the fonts of whoever prints."""
    for page in pages(dial["A3"]):
        assert fonts(page) and all(fonts(page).values())


def test_viewers_are_asked_not_to_scale(dial: dict[str, bytes]) -> None:
    """The file asks for no scaling (ISO 32000-1, table 150)."""
    assert "/None" == pages(dial["A4"])[0].pdf.root_object["/ViewerPreferences"]["/PrintScaling"]  # type: ignore[union-attr]


def test_the_same_study_gives_the_same_file(studies: dict[str, Study]) -> None:
    """No date or chance goes into the file."""
    first, second = (sheet.page(studies["board"], View()) for _ in range(2))
    assert first == second


@pytest.mark.parametrize("name", ["paper", "board", "open", "oval", "crowded"])
def test_every_kind_of_blank(studies: dict[str, Study], name: str) -> None:
    """A sheet comes of paper, a board, a plate of open size, an oval; each with its bars."""
    for page in pages(sheet.page(studies[name], View(units="in"), paper="letter")):
        assert [50.0, 50.8] == pytest.approx(sorted(bars(page)["lying"]), abs=NEAR_MM)


def test_an_oval_is_wider_than_tall_by_what_the_bench_says(studies: dict[str, Study]) -> None:
    """`oval 6 mm across the grain`: across, which is across the page, the drawn edge measures 6 mm more than along."""
    (page,) = pages(sheet.page(studies["oval"], View(), paper="A3"))
    (stroke,) = [one for one in strokes(page) if one.bent and abs(one.width - WIDTHS["widest"]) < 1e-3]
    xs, ys = zip(*(place for one in stroke.bent for place in along(one)), strict=True)
    assert 6 == pytest.approx((max(xs) - min(xs)) - (max(ys) - min(ys)), abs=NEAR_MM)


def test_a_hostile_title_is_a_title() -> None:
    """Letters that mean something to PDF, to markup or to a pattern stand in the title as they are."""
    (page,) = pages(sheet.page(study(ODD), View()))
    assert r'<b onload="x">&amp;' in page.extract_text()
    assert r"\ ( ) %d {0}" in page.pdf.metadata.title  # type: ignore[union-attr]
    assert "/OpenAction" not in page.pdf.root_object and "/Annots" not in page  # type: ignore[union-attr]


@given(first=st.floats(-7, 7), turn=st.floats(0.01, math.tau), reach=st.floats(1, 300))
def test_arcs_are_drawn_to_a_hundredth(first: float, turn: float, reach: float) -> None:
    """No place of a drawn arc is 0.01 mm off its circle, and it begins and ends where the arc does."""
    sweep = Sweep(3.0, -4.0, reach, first, turn)
    places = bent(sweep)
    for n in range(0, len(places) - 1, 3):
        for place in along(tuple(places[n : n + 4])):  # type: ignore[arg-type]
            assert abs(math.dist(place, (3.0, -4.0)) - reach) < NEAR_MM
    assert math.dist(places[-1], sweep.at(1.0)) < 1e-9


def check_tiling(tiling: Tiling, frame: tuple[float, float, float, float]) -> None:
    """Every corner of the frame is shown, neighbours share a strip, and each cross lies on two sheets at least."""
    left, bottom, right, top = frame
    for x in (left, right, (left + right) / 2):
        for y in (bottom, top, (bottom + top) / 2):
            assert any(a <= x <= c and b <= y <= d for a, b, c, d in (one.window for one in tiling.tiles))
    by_place = {(one.row, one.column): one.window for one in tiling.tiles}
    for (row, column), (_, low, far, _) in by_place.items():
        if (row, column + 1) in by_place:
            assert OVERLAP_MM == pytest.approx(far - by_place[row, column + 1][0])
        if (row + 1, column) in by_place:
            assert OVERLAP_MM == pytest.approx(by_place[row + 1, column][3] - low)
    for x, y in tiling.register:
        assert 2 <= sum(a + 2 < x < c - 2 and b + 2 < y < d - 2 for a, b, c, d in by_place.values())


@given(wide=st.floats(1, 1500), tall=st.floats(1, 1500), x=st.floats(-500, 500), name=st.sampled_from(sorted(PAPERS)))
def test_tiles_cover_the_drawing(wide: float, tall: float, x: float, name: str) -> None:
    """Any drawing is covered, sheets overlap, and crosses lie in the overlaps; or there is a diagnostic for too many sheets."""
    frame = (x, -tall, x + wide, 0.0)
    try:
        check_tiling(tile(frame, paper_of(name)), frame)
    except Mistakes as many:
        assert "C802" == many.diagnostics[0].code
        assert wide * tall > 30 * 150 * 200


def run(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[object, str, str]:
    """Return exit code, output and errors of one command."""
    with pytest.raises(SystemExit) as left:
        cli.main(list(arguments))
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    return left.value.code, out, err


def test_the_command_writes_and_says_what(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The file is there, how to print it is said; a second run replaces it, and nothing else lies beside it."""
    file = tmp_path / "dial.pdf"
    for paper, count in (("A4", 2), ("A3", 1)):
        code, out, _ = run(capsys, "sheet", "clock-dial", "-o", str(file), "--paper", paper.lower())
        assert 0 == code
        assert "measure both bars" in out and paper in out
        assert count == len(pages(file.read_bytes()))
    assert [file] == list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("name", "paper", "code"),
    [("a.pdf", "A5", "C801"), ("a.pdf", "", "C801"), ("a.txt", "A4", "C803"), ("a", "A4", "C803"), ("none/a.pdf", "A4", "C804"),
     ("folder.pdf", "A4", "C805"), ("mine.pdf", "A4", "C806"), ("x" * 300 + ".pdf", "A4", "C807"), ("nul\0.pdf", "A4", "C807")],
)  # fmt: skip
def test_what_can_not_be_written(tmp_path: Path, name: str, paper: str, code: str) -> None:
    """A wrong paper or name is a diagnostic with a hint, and no file is touched."""
    (tmp_path / "folder.pdf").mkdir()
    (tmp_path / "mine.pdf").write_bytes(b"%PDF-1.4 of somebody else")
    with pytest.raises(Mistakes) as wrong:
        sheet.check(tmp_path / name, paper)
        _one_file.write(tmp_path / name, b"")
    assert code == wrong.value.diagnostics[0].code
    assert wrong.value.diagnostics[0].hint
    assert b"%PDF-1.4 of somebody else" == (tmp_path / "mine.pdf").read_bytes()
    assert {"folder.pdf", "mine.pdf"} == {path.name for path in tmp_path.iterdir()}


def test_paper_that_has_no_plate_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A layout on paper is drawn too, and the missing edge is said."""
    recipe = tmp_path / "p.recipe"
    recipe.write_text(ODD, encoding="utf-8")
    code, out, _ = run(capsys, "sheet", str(recipe), "-o", str(tmp_path / "p.pdf"))
    assert 0 == code
    assert "no edge of a plate" in out


def test_too_large_for_paper(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A blank that takes too many sheets is a diagnostic, and no file is written."""
    recipe = tmp_path / "p.recipe"
    recipe.write_text("recipe Large\nplate round, 2400 mm across\nstep S\n  g : line by centre finder, along the grain\n", encoding="utf-8")
    code, _, err = run(capsys, "sheet", str(recipe), "-o", str(tmp_path / "p.pdf"))
    assert 2 == code
    assert "C802" in err
    assert not (tmp_path / "p.pdf").exists()
