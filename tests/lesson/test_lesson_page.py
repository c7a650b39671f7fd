"""Laws of a lesson's page, read as text: complete, self-contained, its pictures true, nothing from a recipe taken for markup."""

from __future__ import annotations

import base64
import hashlib
import math
import re

import pytest

from construct.geometry import Circle, Line, Point
from construct.reports import View, _lesson
from construct.reports._lesson_picture import MARGIN, WIDTH, pictures
from construct.reports._lesson_steps import lesson_steps, verdict_said
from construct.study import Study, study, why, with_errors

from .conftest import HOSTILE, parsed

NUMBER = r"-?\d+(?:\.\d)?"
BLANKS = (
    "plate round, 240 mm across\nstep S\n  g : line by centre finder, along the grain\n",
    "board 300 mm by 200 mm, 20 mm thick\nstep S\n  d : line through SW and NE\n",
    "paper\ngiven A, B, 100 mm apart\nstep S\n  c : circle about A, through B\n  M : mark between A and B, by eye\n",
    "plate round, anything across, say 180 mm\nstep S\n  V : mark anywhere on edge, say 40 deg from the grain\n",
    "board 300 mm by 200 mm\nclaim SW SE is 300 mm\n",
    "plate round, 240 mm across\nbench careful, oval 6 mm across the grain\ng : line by centre finder, along the grain\n",
)


def _pages(pages: dict[str, bytes]) -> list[bytes]:
    return [*pages.values(), *(_lesson.page(study(f"recipe R\n{text}"), View("in")) for text in BLANKS)]


def test_the_policy_names_the_page_s_own_style_and_script_and_nothing_else(pages: dict[str, bytes]):
    """The hashes in the policy are SHA-256 of the text between the tags, as CSP Level 3 asks; nothing inline is let through besides."""
    for page in _pages(pages):
        found = parsed(page)
        (policy,) = [meta["content"] for meta in found.named("meta") if meta.get("http-equiv") == "Content-Security-Policy"]
        for kind in ("style", "script"):
            digest = base64.b64encode(hashlib.sha256(found.inside[kind].encode()).digest()).decode()
            assert f"{kind}-src 'sha256-{digest}'" in policy
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy


def test_nothing_comes_from_elsewhere(pages: dict[str, bytes]):
    """No element loads anything: every reference is to a place in the page itself, and no attribute holds a style or a handler."""
    for page in _pages(pages):
        for tag, attrs in parsed(page).elements:
            for name, value in attrs.items():
                assert name not in ("style", "src", "srcset", "data", "action") and not name.startswith("on"), (tag, name)
                if name == "href":
                    assert value.startswith("#") or (tag == "link" and value == "data:,")


def test_ids_are_one_of_a_kind_and_references_lead_somewhere(pages: dict[str, bytes]):
    """Every id stands once, and whatever points at one finds it."""
    for page in _pages(pages):
        found = parsed(page)
        ids = [attrs["id"] for _, attrs in found.elements if "id" in attrs]
        assert sorted(set(ids)) == sorted(ids)
        for _, attrs in found.elements:
            wanted = " ".join([attrs.get("aria-labelledby", ""), attrs.get("href", "").removeprefix("data:,").removeprefix("#")]).split()
            assert set(wanted) <= set(ids)


def test_hostile_words_stay_words(pages: dict[str, bytes]):
    """A title, a heading or a comment that looks like markup or like a template is shown as it was written."""
    found = parsed(pages["hostile"])
    title = HOSTILE.split("\n")[0].removeprefix("recipe ")
    assert 1 == len(found.named("script"))
    assert [] == found.named("img")
    assert title in "".join(found.text)
    assert "{{ 7*7 }}" in "".join(found.text)
    assert all("owned" not in str(attrs) or {"data-progress", "data-said"} & set(attrs) for _, attrs in found.elements)


@pytest.mark.parametrize("name", ["dial", "half", "hostile"])
def test_no_line_and_no_claim_is_lost(taught: dict[str, Study], name: str):
    """Every line of the plan is an action of one step, whatever it draws is drawn by one action, and every claim is a check of one step."""
    found = taught[name]
    steps = lesson_steps(found, "mm")
    lines = {step.span.line for step in found.plan.steps} | {line.span.line for line in found.plan.carving}
    assert len(lines) == sum(len(step.acts) for step in steps)
    made = [index for index, thing in enumerate(found.plan.things) if thing.kind in ("mark", "line", "circle", "curve")]
    assert made == sorted(index for step in steps for index in step.things)
    assert list(range(len(found.plan.carving))) == sorted(index for step in steps for index in step.cuts)
    assert sorted(verdict.text for verdict in found.verdicts) == sorted(check.claim for step in steps for check in step.checks)


def test_a_claim_stands_at_its_step(taught: dict[str, Study]):
    """The demo's claims stand under the headings under which its text has them."""
    heading, wanted = "", []
    for line in taught["dial"].plan.lines:
        text = line.split("#")[0].strip()
        heading = text.removeprefix("step ") if text.startswith("step ") else "What the knife does" if text == "carve" else heading
        if text.startswith("claim "):
            wanted.append(heading)
    assert wanted == [step.title for step in lesson_steps(taught["dial"], "mm") for _ in step.checks]


def test_verdicts_are_the_study_s(taught: dict[str, Study], pages: dict[str, bytes]):
    """What fails is said to fail, and by how much: half of 128 mm is 64 mm, and half of √2·90.6 mm is 64.0639 mm (√2 = 1.41421356)."""
    gap = math.sqrt(2) * 90.6 / 2 - 64
    (bad,) = [verdict for verdict in taught["half"].verdicts if not verdict.holds]
    assert f"{gap:.4g}" == "0.06387"
    said = verdict_said(bad, "mm")
    assert "0.06387 mm" in said
    assert said in "".join(parsed(pages["half"]).text)
    marks = [attrs["class"] for attrs in parsed(pages["half"]).named("li") if attrs.get("class") in ("proved", "refuted")]
    assert ["proved", "proved", "refuted"] == marks


def test_how_far_off_is_the_errors_own_figure(taught: dict[str, Study], pages: dict[str, bytes]):
    """The centre's figure is its ellipse: two finder lines, each off sideways by u, reach √5.991·u 19 times in 20 (χ², ν = 2, a table)."""
    (u,) = {one.source.u for one in taught["dial"].errors.inputs if one.source.name == "centre finder sideways"}
    text = "".join(parsed(pages["dial"]).text)
    assert f"Within {math.sqrt(5.991) * u:.2f} mm of where the drawing puts it, 19 times in 20: C." in text


# --- pictures -----------------------------------------------------------------------------------


def _millimetres(found: Study, x: float, y: float, height: float, across: float) -> tuple[float, float]:
    scale = (WIDTH - 2 * MARGIN) / across
    return (x - WIDTH / 2) / scale, (height / 2 - y) / scale


def test_pictures_show_every_thing_where_it_lies(taught: dict[str, Study]):
    """Every number in the store, taken back to the plate, lies on what the study draws, to half a tenth of a unit of the picture."""
    found = taught["dial"]
    steps = lesson_steps(found, "mm")
    drawn = pictures(found, steps)
    height, across = float(drawn.height), 241.3
    store = {group.name: group for group in drawn.store}
    slack = 0.08 * across / (WIDTH - 2 * MARGIN)
    looked = 0
    for step in steps:
        for act in step.acts if not step.carves else ():
            things = [found.drawn[index] for index in act.things]
            for one in store[f"draw-{step.number}-{act.number}"].drawn if things else ():
                pairs = [one.at] if one.kind == "mark" else re.findall(rf"({NUMBER}) ({NUMBER})(?=[LA]|$)", one.path)
                assert pairs
                for x, y in pairs:
                    at = _millimetres(found, float(x), float(y), height, across)
                    assert any(_off(thing, at) <= slack for thing in things), (step.title, act.bench, at)
                    looked += 1
    assert looked > 300


def _off(thing: object, at: tuple[float, float]) -> float:
    """Return how far a place lies off a drawn thing, in mm."""
    match thing:
        case Point():
            return math.dist((thing.x, thing.y), at)
        case Line():
            return abs((at[0] - thing.x) * thing.dy - (at[1] - thing.y) * thing.dx) / math.hypot(thing.dx, thing.dy)
        case Circle():
            return abs(math.dist((thing.centre.x, thing.centre.y), at) - math.sqrt(thing.square))
    return math.inf


def test_arcs_turn_the_right_way(taught: dict[str, Study]):
    """An arc's middle, worked out from the path alone, lies on the side of its chord where the study has it."""
    found = taught["half"]
    by_compass = with_errors(study("halve-a-side", way="compass"), trials=0)
    for one in (found, by_compass):
        steps = lesson_steps(one, "mm")
        drawn = pictures(one, steps)
        across = float(one.plan.blank.width.mm)
        for step in steps:
            for act in step.acts:
                circles = [one.drawn[index] for index in act.things if isinstance(one.drawn[index], Circle)]
                group = next((group for group in drawn.store if group.name == f"draw-{step.number}-{act.number}"), None)
                for part in group.drawn if group and circles else ():
                    for x1, y1, radius, turn, x2, y2 in _arcs(part.path):
                        middle = _middle((x1, y1), (x2, y2), radius, turn)
                        at = _millimetres(one, *middle, float(drawn.height), across)
                        assert min(_off(circle, at) for circle in circles) < 0.2, (act.bench, part.path)


def _arcs(path: str) -> list[tuple[float, float, float, int, float, float]]:
    found, here = [], None
    for x, y, arc in re.findall(rf"M({NUMBER}) ({NUMBER})|(A[^AML]+)", path):
        if arc:
            radius, _, _, large, turn, x2, y2 = map(float, arc[1:].split())
            assert large == 0 and here is not None
            found.append((*here, radius, int(turn), x2, y2))
            here = x2, y2
        else:
            here = float(x), float(y)
    return found


def _middle(a: tuple[float, float], b: tuple[float, float], radius: float, turn: int) -> tuple[float, float]:
    """Return the middle of an arc of half a turn at most (SVG 1.1, 8.3.8: sweep flag 1 runs clockwise on the page)."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    chord = math.hypot(dx, dy)
    rise = radius - math.sqrt(max(0.0, radius * radius - chord * chord / 4))
    side = 1 if turn else -1
    return (a[0] + b[0]) / 2 + side * dy / chord * rise, (a[1] + b[1]) / 2 - side * dx / chord * rise


def test_what_is_new_is_dark_and_the_rest_is_light(taught: dict[str, Study]):
    """A step's picture shows its own actions as fresh, those of earlier steps as earlier, and none of later ones."""
    steps = lesson_steps(taught["dial"], "mm")
    for at, picture in enumerate(pictures(taught["dial"], steps).steps):
        for use in picture.uses:
            match = re.fullmatch(r"draw-(\d+)-(\d+)", use.of)
            if match:
                assert (int(match[1]) == at + 1) == (use.how == "fresh")
                assert int(match[1]) <= at + 1


def test_a_picture_in_words_says_where_its_marks_lie(taught: dict[str, Study]):
    """On the dial, T lies at twelve o'clock, B at six, R at three and L at nine, all near the edge; C in the middle."""
    said = [picture.description for picture in pictures(taught["dial"], lesson_steps(taught["dial"], "mm")).steps]
    assert "mark C in the middle" in said[0]
    assert "line g, upright" in said[0] and "line h, level" in said[0] and "line f, rising to the right" in said[0]
    assert "mark B near the edge, at 6 o'clock and mark T near the edge, at 12 o'clock" in said[1]
    assert "mark L near the edge, at 9 o'clock and mark R near the edge, at 3 o'clock" in said[2]


def test_no_name_covers_another(taught: dict[str, Study]):
    """In each picture the names' boxes, as wide as a generous typeface, keep apart."""
    for name in ("dial", "half"):
        steps = lesson_steps(taught[name], "mm")
        for picture in pictures(taught[name], steps).steps:
            for labels, size in ((picture.labels, 1.0), (picture.large, 1.4)):
                boxes = [(float(one.x), float(one.y), len(one.text) * 3.6 * size, one.text) for one in labels if one.kind != "chip"]
                for n, (x, y, half, text) in enumerate(boxes):
                    for ox, oy, other_half, other in boxes[n + 1 :]:
                        assert abs(x - ox) >= half + other_half or abs(y - oy) >= 9 * size, (picture.title, text, other)


def test_what_is_small_is_shown_again_larger(taught: dict[str, Study]):
    """The diamonds, 9 mm on a plate of 241 mm, get a detail: its marks lie in it where the picture's own come to lie, named beside."""
    steps = lesson_steps(taught["dial"], "mm")
    drawn = pictures(taught["dial"], steps)
    assert [7] == [step.number for step, one in zip(steps, drawn.steps, strict=True) if one.detail is not None]
    detail = drawn.steps[6].detail
    assert detail is not None
    names = {label.text: label for label in detail.labels}
    assert {"out.B", "left.B", "back.B", "right.B"} <= set(names)
    rings = next(group for group in drawn.store if group.name == "draw-7-2").drawn[:4]
    for name, ring in zip(("out.B", "left.B", "back.B", "right.B"), rings, strict=True):
        x, y = (float(ring.at[n]) * detail.times + float((detail.x, detail.y)[n]) for n in (0, 1))
        assert 0 < x < float(detail.size) and 0 < y < float(detail.size)
        assert math.dist((x, y), (float(names[name].x), float(names[name].y))) < 45


# --- why ----------------------------------------------------------------------------------------


def test_a_why_is_folded_and_stands_with_proved_claims_alone(taught: dict[str, Study]):
    """Reasons are shown as numbered steps with what they rest on, folded; a claim that fails has none, even if one is handed in."""
    from construct.proofs.why import Reason, Why

    reasons = (
        Reason(1, "B and <i>T</i> are on rim.", ("B", "T", "rim"), "as drawn", ""),
        Reason(2, "So they are as far from C.", ("C",), "radii", "Euclid I, definition 15", (1,)),
    )
    found = taught["half"]
    page = parsed(_lesson.page(found, View(), [Why(one.line, one.text, reasons) for one in found.verdicts]))
    assert sum(verdict.verdict == "proved" for verdict in found.verdicts) == len(page.named("details")) == 2
    assert all("open" not in attrs for attrs in page.named("details"))
    text = "".join(page.text)
    assert "(Euclid I, definition 15; from 1)" in text
    assert "B and <i>T</i> are on rim." in text


def test_the_page_is_the_same_each_time(taught: dict[str, Study], pages: dict[str, bytes]):
    """The same recipe gives the same bytes."""
    assert pages["half"] == _lesson.page(taught["half"], View(), why(taught["half"]))


def test_the_page_is_small(pages: dict[str, bytes]):
    """A full plate's lesson is small enough to send by mail: under 200 kB (JEDEC or SI alike)."""
    assert max(map(len, pages.values())) < 200_000
