"""The lesson in a real browser: walked by buttons and keys, printed, read by the accessibility rules, attacked."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from pypdf import PdfReader

from construct.reports._lesson_steps import lesson_steps
from construct.study import Study

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
"""The rule sets of WCAG 2.2 AA, as the axe engine tags them, and its good practice."""

POINTS_TO_PIXELS = 96 / 72
"""CSS Values and Units 3, 5.2: 1 in is 96 px and 72 pt."""


@dataclass
class Opened:
    """A page that is open, with all that it asked for and complained of."""

    page: Any
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    def progress(self) -> str:
        """Return the progress text."""
        return str(self.page.inner_text("#progress"))

    def shown(self) -> list[str]:
        """Return the ids of the sections that are to be seen."""
        return [str(name) for name in self.seen("section.page", "one.id")]

    def seen(self, selector: str, what: str = "1") -> list[Any]:
        """Return something of every element that is to be seen, in one go."""
        every = f"[...document.querySelectorAll('{selector}')]"
        return list(self.page.evaluate(f"{every}.filter((one) => one.checkVisibility()).map((one) => {what})"))

    def count(self, selector: str) -> int:
        """Return how many there are, to be seen or not."""
        return int(self.page.locator(selector).count())

    def axe(self) -> list[tuple[str, str]]:
        """Return the accessibility rules that are broken here, each with where."""
        found = Axe().run(self.page, options={"runOnly": {"type": "tag", "values": RULES}})
        assert len(found.response["passes"]) > 20
        return [(one["id"], node["html"][:200]) for one in found.response["violations"] for node in one["nodes"]]


@pytest.fixture
def opened(browser: Any, files: dict[str, Path]) -> Iterator[Any]:
    """Return what opens a lesson by name, in a window of its own; afterwards nothing was asked for and nothing went wrong."""
    contexts = []
    every: list[Opened] = []

    def opens(name: str, *, width: int = 1280, height: int = 900, at: str = "", **options: Any) -> Opened:
        context = browser.new_context(viewport={"width": width, "height": height}, **options)
        contexts.append(context)
        found = Opened(context.new_page())
        every.append(found)
        found.page.on("request", lambda request: found.requests.append(request.url))
        found.page.on("console", lambda said: found.complaints.append(said.text))
        found.page.on("pageerror", lambda error: found.complaints.append(str(error)))
        found.page.on("dialog", lambda dialog: (found.complaints.append(dialog.message), dialog.dismiss()))
        found.page.goto(files[name].as_uri() + at)
        return found

    yield opens
    for one in every:
        assert [] == one.complaints
        assert all(url.startswith("file:") for url in one.requests) and len(one.requests) == 1, one.requests
    for context in contexts:
        context.close()


# --- walking ------------------------------------------------------------------------------------


def test_next_and_back_walk_through_every_action(opened: Any, taught: dict[str, Study]):
    """Next goes from the beginning through each action of each step to the end, one section at a time; Back goes the same way back."""
    found = opened("half")
    wanted = ["Before you begin"]
    steps = lesson_steps(taught["half"], "mm")
    for step in steps:
        wanted += [f"Step {step.number} of {len(steps)} · action {act.number} of {len(step.acts)}" for act in step.acts]
    wanted.append("When it is done")
    there = [found.progress()]
    for _ in wanted[1:]:
        assert 1 == len(found.shown())
        found.page.click("#next")
        there.append(found.progress())
    assert wanted == there
    found.page.click("#next", force=True)  # it says that it is disabled, and a patient robot would wait
    assert wanted[-1] == found.progress()
    assert "true" == found.page.get_attribute("#next", "aria-disabled")
    for one in reversed(wanted[:-1]):
        found.page.click("#back")
        assert one == found.progress()


def test_keys_walk_too(opened: Any):
    """Arrows go an action on and back, with Shift a whole step; Home and End go to either end; the browser's own keys stay its own."""
    found = opened("dial")
    press = found.page.keyboard.press
    press("ArrowRight")
    assert "Step 1 of 9 · action 1 of 4" == found.progress()
    press("Shift+ArrowRight")
    press("ArrowRight")
    assert "Step 2 of 9 · action 2 of 2" == found.progress()
    press("ArrowLeft")
    assert "Step 2 of 9 · action 1 of 2" == found.progress()
    press("Shift+ArrowLeft")
    assert "Step 1 of 9 · action 1 of 4" == found.progress()
    press("End")
    assert (["end"], "When it is done") == (found.shown(), found.progress())
    press("Home")
    assert (["begin"], "Before you begin") == (found.shown(), found.progress())
    press("Control+ArrowRight")
    assert "Before you begin" == found.progress()


def test_buttons_work_from_the_keyboard_and_keep_their_place(opened: Any):
    """Tab reaches Next, Enter and Space press it again and again, and the focus stays where it was."""
    found = opened("half")
    found.page.focus("#next")
    for key in ("Enter", " ", "Enter"):
        found.page.keyboard.press(key)
    assert "Step 1 of 3 · action 3 of 3" == found.progress()
    assert "next" == found.page.evaluate("document.activeElement.id")


def test_the_contents_and_an_address_lead_to_a_step(opened: Any):
    """A link of the contents shows its step and moves the reader there; so does an address with the step's name."""
    found = opened("dial")
    found.page.click("text=The twelve hours")
    assert ["step-5"] == found.shown()
    assert "step-5-head" == found.page.evaluate("document.activeElement.id")
    assert "step" == found.page.get_attribute("a[href='#step-5']", "aria-current")
    assert ["step-7"] == opened("dial", at="#step-7").shown()


def test_the_action_at_hand_is_widest_and_later_ones_are_hidden(opened: Any):
    """In the walk earlier lines are thinner than the step's own, the action at hand is widest, and what is not drawn yet is not shown."""
    found = opened("dial", at="#step-3")
    found.page.keyboard.press("ArrowRight")
    wide = """(name) => { const one = document.querySelector(`#step-3 use[href="#${name}"]`); const style = getComputedStyle(one);
              return style.display === "none" ? null : Number(style.getPropertyValue("--w")); }"""
    assert found.page.evaluate(wide, "draw-3-3") is None
    assert found.page.evaluate(wide, "draw-3-2") > found.page.evaluate(wide, "draw-1-1")
    found.page.keyboard.press("ArrowRight")
    assert found.page.evaluate(wide, "draw-3-3") > found.page.evaluate(wide, "draw-3-2") > found.page.evaluate(wide, "draw-1-1")


def test_the_action_at_hand_is_in_view(opened: Any):
    """On a phone's screen too, the action at hand is not hidden by the picture above or the buttons below."""
    found = opened("dial", width=390, height=800)
    for _ in range(9):
        found.page.keyboard.press("ArrowRight")
        found.page.wait_for_timeout(20)
        above, below = (found.page.locator(one).bounding_box() for one in ("section.current .picture", ".walk"))
        box = found.page.locator("section.current li.now").bounding_box()
        assert box["y"] >= above["y"] + above["height"] - 1
        assert box["y"] + min(box["height"], 60) <= below["y"] + 1


# --- without a script, on paper -----------------------------------------------------------------


def test_without_a_script_every_step_is_shown(opened: Any):
    """Where scripts are off there are no buttons that do nothing, and every step, action and picture is there."""
    found = opened("dial", java_script_enabled=False)
    assert 11 == sum(one.is_visible() for one in found.page.query_selector_all("section.page"))
    assert not any(one.is_visible() for one in found.page.query_selector_all("button, .walk"))
    assert all(one.is_visible() for one in found.page.query_selector_all(".acts li:last-child, figure svg"))


@pytest.mark.parametrize(("name", "paper", "large"), [("dial", "A4", False), ("half", "Letter", True)])
def test_print_is_a_handout(opened: Any, taught: dict[str, Study], name: str, paper: str, large: bool):
    """On paper every step and action is there in order, whichever was on the screen; buttons and contents are not."""
    found = opened(name)
    steps = lesson_steps(taught[name], "mm")
    if large:
        found.page.click("#large")
    found.page.keyboard.press("End")
    found.page.emulate_media(media="print")
    assert len(steps) + 2 == len(found.shown())
    assert [] == found.seen("button, .walk, .contents, .skip, .unseen")
    assert found.count(".acts li, figure svg") == len(found.seen(".acts li, figure svg"))
    pages = [page.extract_text().strip() for page in PdfReader(io.BytesIO(found.page.pdf(format=paper))).pages]
    text = " ".join(" ".join(pages).split())
    places = [text.index(f"Step {step.number} of {len(steps)}: {step.title}") for step in steps]
    assert places == sorted(places)
    assert "Large print" not in text and "Step back" not in text
    assert len(steps) / 2 < len(pages) <= (3 if large else 2) * (len(steps) + 2)
    # no page ends with a heading that belongs to the next
    assert not any(page.endswith(("What the hand does", "What to check", "How far off a hand is")) for page in pages)


def test_an_unfolded_why_is_printed_and_a_folded_one_leaves_no_trace(browser: Any, tmp_path: Path, taught: dict[str, Study]):
    """The reader decides what is on the handout: a why that was asked for is printed, one that was not leaves not even its title."""
    from construct.proofs.why import Reason, Why
    from construct.reports import View, _lesson

    found = taught["half"]
    whys = [Why(one.line, one.text, (Reason(1, "Radii of one circle.", (), "radii", "Euclid I, definition 15"),)) for one in found.verdicts]
    file = tmp_path / "why.html"
    file.write_bytes(_lesson.page(found, View(), whys))
    page = browser.new_page()
    page.goto(file.as_uri())
    page.keyboard.press("ArrowRight")
    reason, summary = page.locator("section.current .why li").first, page.locator("section.current summary").first
    assert not reason.is_visible() and summary.is_visible()
    page.emulate_media(media="print")
    assert not summary.is_visible()
    page.emulate_media(media="screen")
    page.click("#unfold")
    assert [] == Opened(page).axe()
    page.emulate_media(media="print")
    assert reason.is_visible() and summary.is_visible()
    page.close()


# --- for every reader ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("where", "scheme"),
    [("begin", "light"), ("step", "light"), ("end", "light"), ("large", "light"), ("phone", "light"), ("step", "dark"), ("end", "dark")],
)
def test_the_accessibility_rules_hold(opened: Any, where: str, scheme: str):
    """The axe engine finds nothing against WCAG 2.2 AA, in either scheme of colours, wherever one stands."""
    size = {"width": 390, "height": 800} if where == "phone" else {}
    found = opened("half" if where == "end" else "dial", color_scheme=scheme, **size)
    press = found.page.keyboard.press
    if where == "end":
        press("End")
        press("ArrowLeft")
    elif where != "begin":
        for _ in range(8):
            press("ArrowRight")
    if where == "large":
        found.page.click("#large")
    assert [] == found.axe()


def test_pictures_are_described_and_changes_are_announced(opened: Any):
    """To a screen reader a picture is one image with a name and a description, and each action is said as it comes."""
    found = opened("dial", at="#step-3")
    picture = found.page.get_by_role("img", name="The layout after step 3: Square to the grain line")
    assert picture.is_visible()
    said = found.page.text_content("#step-3-words")
    assert "line k, level" in said and "mark L near the edge, at 9 o'clock" in said
    live = found.page.locator("[role=status]")
    assert "polite" == live.get_attribute("aria-live")
    found.page.keyboard.press("ArrowRight")
    assert "Put the needle in B and swing the arc b" in live.text_content()
    assert "`" not in live.text_content()
    found.page.keyboard.press("Shift+ArrowRight")
    assert "Step 4 of 9: Halve the upper half of the grain line." in live.text_content()
    for role in ("main", "banner", "contentinfo"):
        assert 1 == found.page.get_by_role(role).count()
    assert 1 == found.page.get_by_role("heading", level=1).count()


def test_large_print_is_eighteen_points(opened: Any):
    """The switch makes running text 18 pt, on the screen and on paper, and nothing runs off the side at a phone's width."""
    for width in (1280, 390):
        found = opened("dial", at="#step-3", width=width)
        size = "Number.parseFloat(getComputedStyle(document.querySelector('#step-3 .setting')).fontSize)"
        before = found.page.evaluate(size)
        found.page.click("#large")
        assert "true" == found.page.get_attribute("#large", "aria-pressed")
        assert found.page.evaluate(size) == pytest.approx(18 * POINTS_TO_PIXELS)
        assert found.page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
        found.page.emulate_media(media="print")
        assert found.page.evaluate(size) == pytest.approx(18 * POINTS_TO_PIXELS)
        found.page.emulate_media(media="screen")
        found.page.click("#large")
        assert before == found.page.evaluate(size)


def test_it_fits_a_narrow_window(opened: Any):
    """At 320 px, what WCAG 1.4.10 asks for, nothing has to be scrolled sideways, and low windows are not filled by what sticks."""
    found = opened("dial", at="#step-6", width=320, height=256)
    assert found.page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert "static" == found.page.evaluate("getComputedStyle(document.querySelector('.walk')).position")


@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_nothing_moves_by_itself(opened: Any, motion: str):
    """No animation, no transition, no smooth scrolling: for readers who asked for that, and for all others."""
    found = opened("dial", reduced_motion=motion)
    found.page.keyboard.press("ArrowRight")
    moving = """[...document.querySelectorAll("*")].filter((one) => { const style = getComputedStyle(one);
        return style.animationName !== "none" || style.transitionDuration.split(",").some((time) => Number.parseFloat(time) > 0)
            || style.scrollBehavior === "smooth"; }).length + document.getAnimations().length"""
    assert 0 == found.page.evaluate(moving)


# --- attacked -----------------------------------------------------------------------------------


def test_a_hostile_recipe_runs_no_script(opened: Any):
    """Titles and headings full of markup are shown as written; nothing of them runs, before or after walking, whatever is pressed."""
    found = opened("hostile")
    for _ in range(9):
        found.page.keyboard.press("ArrowRight")
    for link in found.page.query_selector_all(".contents a"):
        link.click()
    assert found.page.evaluate("typeof window.owned") == "undefined"
    assert "<script>window.owned=1</script>" in found.page.inner_text("h1")
    assert 1 == found.page.locator("script").count()
    assert 0 == found.page.locator("img, iframe, object, [onload], [onerror], [onmouseover]").count()


def test_the_policy_stops_a_script_that_got_in(browser: Any, files: dict[str, Path], tmp_path: Path):
    """A second wall: were markup ever let through, the page's policy would still run none of it and load nothing."""
    text = files["half"].read_text(encoding="utf-8")
    evil = '<script>window.owned=1</script><img src="https://example.invalid/x.png" onerror="window.owned=2"><b style="color:red">x</b>'
    file = tmp_path / "evil.html"
    file.write_text(re.sub("<h1>", lambda found: found[0] + evil, text, count=1), encoding="utf-8")
    page = browser.new_page()
    refused: list[str] = []
    loaded: list[str] = []
    page.on("console", lambda said: refused.append(said.text))
    page.on("requestfinished", lambda request: loaded.append(request.url))
    page.goto(file.as_uri())
    page.wait_for_timeout(100)
    assert page.evaluate("typeof window.owned") == "undefined"
    assert any("script-src" in one for one in refused) and any("img-src" in one for one in refused)
    assert all(url.startswith("file:") for url in loaded)
    assert "Step 1 of 3 · action 1 of 3" == (page.click("#next"), page.inner_text("#progress"))[1]
    page.close()
