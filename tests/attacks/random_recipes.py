"""Writes recipes at random, each line with what it must give, in the words of the language's section 5.

`Writer` keeps the text and, beside it, every thing's place by `second_opinion`.  A line that would
be a diagnostic at the bench (no meeting, off the blank, two answers) is thrown away before it is written.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from fractions import Fraction

import mpmath
from mpmath import mpc, mpf

from tests.attacks.second_opinion import (
    Ray,
    Ring,
    Unclear,
    ahead,
    exactly,
    foot,
    left,
    meetings,
    reaches,
    same,
    sign,
    tangents,
    through,
    turned,
    unit,
)

UP = mpc(0, 1)
COMPASS, RULER = 250, 600
ANGLES = (("30 deg", 30), ("45 deg", 45), ("60 deg", 60), ("90 deg", 90), ("120 deg", 120), ("72 deg", 72), ("210 deg", 210), ("1/8 of a turn", 45))
WIDTHS = (("20 mm", 20), ("12.5 mm", Fraction(25, 2)), ("1/2 in", Fraction(127, 10)), ("1 1/4 in", Fraction(127, 4)), ("4 cm", 40), ("30 mm", 30), ("50 mm", 50))
GRADUATIONS = (("1 mm", Fraction(1)), ("0.5 mm", Fraction(1, 2)), ("1/16 in", Fraction(127, 80)))


class Writer:
    """One random recipe, growing."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)
        self.marks: dict[str, mpc] = {}
        self.lines: dict[str, Ray] = {}
        self.rings: dict[str, Ring] = {}
        self.openings: dict[str, mpf] = {}
        self.readings: dict[str, mpf] = {}
        self.lines_of: dict[str, list[str]] = {}
        self.touching: set[frozenset[str]] = set()
        self.set_to: mpf | None = None
        self.count = 0
        self.text: list[str] = ["recipe Random"]
        said, self.graduation = self.random.choice(GRADUATIONS)
        self.blank = self.random.choice(("paper", "paper", "round"))
        self.plate = mpf(150)
        self.writers: list[Callable[[], None]] = [
            self.line, self.line, self.stretch, self.swing, self.swing, self.swing, self.arc, self.touching_ring, self.opening, self.reading,
            self.halfway, self.toward, self.along, self.off_ring, self.every, self.parallel, self.step_round, self.step_along, self.divide,
            self.square, self.template, self.ticks, self.by_eye, self.meet, self.meet, self.meet, self.meet_both, self.meet_both,
            self.touch_line, self.anyhow, self.anywhere_on, self.inside_edge, self.contact,
        ]  # fmt: skip
        if self.blank == "paper":
            self.text += ["paper", f"bench ordinary, ruler graduated {said}"]
            for name in ("A", "B", "D"):
                x, y = (Fraction(self.random.randint(-12, 12) * 5) for _ in "xy")
                self.text.append(f"given {name} at ({x}, {y}) mm")
                self.marks[name] = mpc(exactly(x), exactly(y))
        else:
            self.text += ["plate round, 300 mm across", f"bench ordinary, ruler graduated {said}"]
            # the finder's blade halves its V: on a round plate it lies on a diameter (Elements III.19)
            self.add(["g"], "line by centre finder, along the grain", lambda: self.lines.update(g=Ray(mpc(0), UP)))
            angle, degrees = self.random.choice(ANGLES[:6])
            way = turned(UP, Fraction(degrees, 360))
            self.add(["h"], f"line by centre finder, at {angle} to the grain", lambda: self.lines.update(h=Ray(mpc(0), way)))
            self.new_marks(["A"], "mark where g meets h", [mpc(0)], lines=["g", "h"])
            self.new_ring("circle about A, 50 mm by ruler", Ring(mpc(0), mpf(50)))

    def write(self, lines: int) -> None:
        """Write more lines; a try that comes to nothing is left out."""
        for _ in range(lines):
            try:
                self.random.choice(self.writers)()
            except (Unclear, IndexError):
                continue

    # --- adding -----------------------------------------------------------------------------------

    def add(self, names: list[str], said: str, enter: Callable[[], None]) -> None:
        self.text.append(f"{', '.join(names)} : {said}")
        enter()

    def names(self, many: int = 1, letter: str = "x") -> list[str]:
        self.count += 1
        if many > 1 and self.random.random() < 0.3:
            return [f"{letter}{self.count}.{k}" for k in "abcdefgh"[:many]]
        return [f"{letter}{self.count}{k}" if many > 1 else f"{letter}{self.count}" for k in "abcdefgh"[:many]]

    def new_marks(self, names: list[str], said: str, places: list[mpc], lines: list[str] | None = None) -> None:
        for place in places:
            if self.blank == "round" and sign(self.plate - abs(place)) < 0:
                raise Unclear
            if abs(place) > 2000:
                raise Unclear
        self.text.append(f"{', '.join(names)} : {said}")
        self.marks.update(zip(names, places, strict=True))
        for name in names:
            self.lines_of[name] = list(lines or [])

    def new_line(self, said: str, ray: Ray, marks: tuple[str, ...] = ()) -> str:
        (name,) = self.names(letter="k")
        self.add([name], said, lambda: self.lines.update({name: ray}))
        for mark in marks:
            self.lines_of.setdefault(mark, []).append(name)
        return name

    def new_ring(self, said: str, ring: Ring, opens: bool = True) -> str:
        if sign(ring.radius - 1) <= 0 or sign(COMPASS - ring.radius) < 0:
            raise Unclear
        (name,) = self.names(letter="c")
        self.add([name], said, lambda: self.rings.update({name: ring}))
        if opens:
            self.set_to = ring.radius
        return name

    def mark(self) -> str:
        return self.random.choice(list(self.marks))

    def drawn_line(self) -> str:
        return self.random.choice(list(self.lines))

    def ring(self) -> str:
        return self.random.choice(list(self.rings))

    def on_line(self, line: str) -> str:
        """Return a mark that lies on a line, not beyond its ends."""
        ray = self.lines[line]
        return self.random.choice([name for name, place in self.marks.items() if sign(left(ray, place)) == 0 and reaches(ray, place)])

    def reads(self, length: mpf) -> mpf:
        """Return what the ruler reads: the nearest graduation."""
        if sign(RULER - length) < 0:
            raise Unclear
        step = exactly(self.graduation)
        parts = length / step
        sign(parts - mpmath.floor(parts) - mpf(1) / 2) or self._tie()
        return mpmath.floor(parts + mpf(1) / 2) * step

    def _tie(self) -> None:
        raise Unclear

    def width(self) -> tuple[str, mpf]:
        if self.readings and self.random.random() < 0.4:
            name = self.random.choice(list(self.readings))
            form, value = self.random.choice((("{}", self.readings[name]), ("half of {}", self.readings[name] / 2), ("1/3 of {}", self.readings[name] / 3),
                                              ("{} less 5 mm", self.readings[name] - 5), ("{} and 1/2 in", self.readings[name] + exactly(Fraction(127, 10)))))  # fmt: skip
            if sign(value) <= 0 or value > RULER:
                raise Unclear
            return form.format(name), value
        said, mm = self.random.choice(WIDTHS)
        return said, exactly(mm)

    def setting(self) -> tuple[str, mpf]:
        """Return how the compass is set, and to what; it stays so for `same opening`."""
        a, b = self.mark(), self.mark()
        ways: list[tuple[str, mpf]] = [(f"opening from {a} to {b}", abs(self.marks[a] - self.marks[b]))]
        ways += [(f"opening {name}", reach) for name, reach in self.openings.items()]
        ways += [("same opening", self.set_to)] if self.set_to is not None else []
        said, width = self.width()
        ways.append((f"{said} by ruler", width))
        said, reach = self.random.choice(ways)
        if sign(reach - 1) <= 0 or sign(COMPASS - reach) < 0:
            raise Unclear
        return said, reach

    # --- picking ----------------------------------------------------------------------------------

    def pick(self, places: list[mpc], wanted: int) -> str:
        """Return words that single out one of two places; all must hold, `nearest` is asked of what is left."""
        this, that = places[wanted], places[1 - wanted]
        for _ in range(12):
            words, left_over = [], {0: this, 1: that}
            for _ in range(self.random.choice((1, 1, 2))):
                said, holds = self._one_pick(this, that)
                words.append(said)
                left_over = {key: place for key, place in left_over.items() if key not in holds}
            last = ""
            if len(left_over) == 2 and 0 in left_over:
                mark = self.mark()
                nearer = sign(abs(that - self.marks[mark]) - abs(this - self.marks[mark]))
                last = {1: f", nearest {mark}", -1: f", farthest from {mark}", 0: ""}[nearer]
                left_over = {0: this} if last else left_over
            if list(left_over) == [0]:
                said = [*words, last] if self.random.random() < 0.5 else [last, *words]
                return "".join(said)
        raise Unclear

    def _one_pick(self, this: mpc, that: mpc) -> tuple[str, set[int]]:
        """Return a pick in words and which of the two places (0: this, 1: that) it rules out."""
        how = self.random.choice(("side", "two", "away", "inside", "outside", "other"))
        if how in ("side", "two"):
            by = self.mark()
            if how == "side":
                line = self.drawn_line()
                ray, said = self.lines[line], line
            else:
                a, b = self.mark(), self.mark()
                ray, said = through(self.marks[a], self.marks[b]), f"{a} {b}"
            side = sign(left(ray, self.marks[by]))
            if side == 0:
                raise Unclear
            return f", on the {by} side of {said}", {key for key, place in enumerate((this, that)) if sign(left(ray, place)) != side}
        if how == "away":
            mark = self.mark()
            farther = sign(abs(this - self.marks[mark]) - abs(that - self.marks[mark]))
            if farther == 0:
                raise Unclear
            return f", away from {mark}", {1} if farther > 0 else {0}
        if how == "other":
            there = [name for name, place in self.marks.items() if same(place, that) and not same(place, this)]
            if not there:
                raise Unclear
            return f", other than {self.random.choice(there)}", {1}
        name = self.ring()
        wants = 1 if how == "inside" else -1
        ring = self.rings[name]
        return f", {how} {name}", {key for key, place in enumerate((this, that)) if sign(ring.radius - abs(place - ring.centre)) != wants}

    # --- the tools' lines --------------------------------------------------------------------------

    def line(self) -> None:
        a, b = self.mark(), self.mark()
        self.new_line(f"line through {a} and {b}", through(self.marks[a], self.marks[b]), (a, b))

    def stretch(self) -> None:
        a, b = self.mark(), self.mark()
        self.new_line(f"line from {a} to {b}", through(self.marks[a], self.marks[b], ends=True), (a, b))

    def swing(self) -> None:
        centre, word = self.mark(), self.random.choice(("circle", "arc"))
        if self.random.random() < 0.3:
            by = self.mark()
            self.new_ring(f"{word} about {centre}, through {by}", Ring(self.marks[centre], abs(self.marks[by] - self.marks[centre])))
            return
        said, reach = self.setting()
        self.new_ring(f"{word} about {centre}, {said}", Ring(self.marks[centre], reach))

    def arc(self) -> None:
        ring = self.rings[self.ring()]
        on = [name for name, place in self.marks.items() if sign(abs(place - ring.centre) - ring.radius) == 0]
        centres = [name for name, place in self.marks.items() if same(place, ring.centre)]
        centre, (a, b) = self.random.choice(centres), self.random.sample(on, 2) if len(on) > 1 else self._none()
        start, finish = self.marks[a], self.marks[b]
        if sign(((finish - start) / (ring.centre - start)).imag) == 0:
            raise Unclear  # the same mark, or straight across
        long = self.random.random() < 0.5
        said = f"arc about {centre}, from {a} to {b}{', the long way' if long else ''}"
        self.new_ring(said, Ring(ring.centre, ring.radius, (start, finish), long))

    def _none(self) -> list[str]:
        raise Unclear

    def touching_ring(self) -> None:
        centre = self.mark()
        place = self.marks[centre]
        if self.random.random() < 0.4:
            line = self.drawn_line()
            ray = self.lines[line]
            near = foot(ray, place)
            if not reaches(ray, near):
                raise Unclear
            name = self.new_ring(f"circle about {centre}, touching {line}", Ring(place, abs(left(ray, place))))
            self.touching.add(frozenset((name, line)))
            return
        other = self.ring()
        ring = self.rings[other]
        apart = abs(place - ring.centre)
        how = self.random.choice(("", ", from outside", ", from inside"))
        inside = sign(ring.radius - apart) > 0
        if sign(apart) == 0 or sign(apart - ring.radius) == 0 or (inside and how == ", from outside"):
            raise Unclear
        # circles that touch have their centres and the contact in line (Elements III.11, III.12)
        reach = apart + ring.radius if how == ", from inside" and not inside else abs(apart - ring.radius)
        way = unit(place - ring.centre)
        if not reaches(ring, ring.centre + way * ring.radius * (-1 if how == ", from inside" and not inside else 1)):
            raise Unclear
        name = self.new_ring(f"circle about {centre}, touching {other}{how}", Ring(place, reach))
        self.touching.add(frozenset((name, other)))

    def contact(self) -> None:
        a, b = self.random.choice([sorted(pair) for pair in self.touching])
        one, other = (self.lines.get(name) or self.rings[name] for name in (a, b))
        if isinstance(one, Ray):
            one, other = other, one
        if isinstance(other, Ray):
            place = foot(other, one.centre)
        else:
            way = unit(other.centre - one.centre)
            ends = [one.centre + way * one.radius, one.centre - way * one.radius]
            place = min(ends, key=lambda end: abs(abs(end - other.centre) - other.radius))
        names = [a, b] if self.random.random() < 0.5 else [b, a]
        self.new_marks(self.names(), f"mark where {names[0]} touches {names[1]}", [place], lines=[name for name in names if name in self.lines])

    def opening(self) -> None:
        (name,) = self.names(letter="r")
        if self.random.random() < 0.5:
            a, b = self.mark(), self.mark()
            said, reach = f"from {a} to {b}", abs(self.marks[a] - self.marks[b])
        elif self.random.random() < 0.5:
            said, reach = self.width()
            said = f"{said} by ruler"
        else:
            a, b = self.mark(), self.mark()
            number = self.random.randint(20, 120)
            reach = mpf(number)
            room = sign(reach - abs(self.marks[a] - self.marks[b]) / 2)
            if room == 0:
                raise Unclear
            said = f"anything {'over' if room > 0 else 'under'} half of {a} {b}, say {number} mm"
        if sign(reach - 1) <= 0 or sign(COMPASS - reach) < 0:
            raise Unclear
        self.add([name], f"opening, {said}", lambda: self.openings.update({name: reach}))
        self.set_to = reach

    def reading(self) -> None:
        a, b = self.mark(), self.mark()
        (name,) = self.names(letter="w")
        value = self.reads(abs(self.marks[a] - self.marks[b]))
        self.add([name], f"length from {a} to {b}, by ruler", lambda: self.readings.update({name: value}))

    def halfway(self) -> None:
        a, b = self.mark(), self.mark()
        way = self.marks[b] - self.marks[a]
        place = self.marks[a] + unit(way) * self.reads(abs(way)) / 2
        self.new_marks(self.names(), f"mark halfway from {a} to {b}, by ruler", [place])

    def toward(self) -> None:
        a, b = self.mark(), self.mark()
        said, width = self.width()
        self.new_marks(self.names(), f"mark {said} from {a} toward {b}, by ruler", [self.marks[a] + unit(self.marks[b] - self.marks[a]) * width])

    def along(self) -> None:
        line = self.drawn_line()
        start, (said, width) = self.on_line(line), self.width()
        way = self.lines[line].way
        places = [self.marks[start] - way * width, self.marks[start] + way * width]
        wanted = self.random.choice((0, 1))
        words = self.pick(places, wanted)
        self.new_marks(self.names(), f"mark {said} from {start} along {line}{words}, by ruler", [places[wanted]], lines=[line])

    def off_ring(self) -> None:
        name, line = self.ring(), self.drawn_line()
        ring, ray = self.rings[name], self.lines[line]
        (said, width), out = self.width(), self.random.choice(("outside", "inside"))
        crossings = meetings(ray, ring)
        if out == "inside" and sign(abs(crossings[1] - crossings[0]) - width) <= 0:
            raise Unclear
        step = width if out == "outside" else -width
        places = [crossings[0] - ray.way * step, crossings[1] + ray.way * step]
        there = [reaches(ring, place) and reaches(ray, place) for place in crossings]
        wanted = self.random.choice((0, 1))
        if not there[wanted] or same(*crossings):
            raise Unclear
        words = self.pick(places, wanted) if all(there) else ""
        self.new_marks(self.names(), f"mark {said} {out} {name}, along {line}{words}, by ruler", [places[wanted]], lines=[line])

    def every(self) -> None:
        a, b = self.mark(), self.mark()
        said, width = self.width()
        way = unit(self.marks[b] - self.marks[a])
        names = self.names(3, "m")
        if width * 3 > RULER:
            raise Unclear
        self.new_marks(names, f"marks every {said} from {a} toward {b}, by ruler", [self.marks[a] + way * width * n for n in (1, 2, 3)])

    def parallel(self) -> None:
        line, by = self.drawn_line(), self.mark()
        said, width = self.width()
        ray = self.lines[line]
        side = sign(left(ray, self.marks[by]))
        if side == 0:
            raise Unclear
        tool, away = self.random.choice(("ruler", "eye")), self.random.random() < 0.5
        where = f" away, away from {by}" if away else f" away on the {by} side"
        at = ray.at + ray.way * 1j * width * (-side if away else side)
        self.new_line(f"line parallel to {line}, {said}{where}, by {tool}", Ray(at, ray.way))

    def step_round(self) -> None:
        name = self.ring()
        ring = self.rings[name]
        on = [mark for mark, place in self.marks.items() if sign(abs(place - ring.centre) - ring.radius) == 0 and reaches(ring, place)]
        start, (said, reach) = self.random.choice(on), self.setting()
        if sign(2 * ring.radius - reach) <= 0:
            raise Unclear
        right = self.random.random() < 0.5
        # facing the centre, the left hand points with the clock: a chord's half is the sine of half its angle
        turn = 2 * mpmath.asin(reach / (2 * ring.radius)) * (1 if right else -1)
        places = [ring.centre + (self.marks[start] - ring.centre) * mpmath.expj(turn * n) for n in (1, 2, 3)]
        if not all(reaches(ring, place) for place in places):
            raise Unclear
        self.new_marks(self.names(3, "s"), f"marks stepped from {start} round {name}, {said}{', to the right' if right else ''}", places)
        self.set_to = reach

    def step_along(self) -> None:
        line = self.drawn_line()
        start, by, (said, reach) = self.on_line(line), self.mark(), self.setting()
        ray = self.lines[line]
        side = sign(ahead(ray, self.marks[by]) - ahead(ray, self.marks[start]))
        if side == 0:
            raise Unclear
        places = [self.marks[start] + ray.way * side * reach * n for n in (1, 2)]
        if not all(reaches(ray, place) for place in places):
            raise Unclear
        self.new_marks(self.names(2, "s"), f"marks stepped from {start} along {line}, toward {by}, {said}", places, lines=[line])
        self.set_to = reach

    def divide(self) -> None:
        a, b = self.mark(), self.mark()
        way = self.marks[b] - self.marks[a]
        unit(way)
        self.new_marks(self.names(2, "d"), f"marks dividing {a} {b}, by dividers", [self.marks[a] + way / 3, self.marks[a] + way * 2 / 3])

    def square(self) -> None:
        line = self.drawn_line()
        ray, how = self.lines[line], self.random.choice(("at", "through", "parallel"))
        by = self.on_line(line) if how == "at" else self.mark()
        if how == "parallel":
            self.new_line(f"line parallel to {line}, through {by}, by square", Ray(self.marks[by], ray.way), (by,))
        elif how == "at":
            self.new_line(f"line square to {line} at {by}, by square", Ray(self.marks[by], ray.way * 1j), (by,))
        else:
            self.new_line(f"line square to {line}, through {by}, by square", Ray(self.marks[by], ray.way * 1j), (by,))

    def template(self) -> None:
        a, b = self.mark(), self.mark()
        if self.random.random() < 0.5:
            said, wanted = self.random.choice((("16.4 mm", Fraction(82, 5)), ("3/4 in", Fraction(381, 20)), ("30 mm", Fraction(30))))
            across, middle, words = exactly(wanted), self.marks[a], f"circle by template about {a}, {said} across"
        else:
            across, middle, words = abs(self.marks[a] - self.marks[b]), (self.marks[a] + self.marks[b]) / 2, f"circle by template across {a} {b}"
        if not 2 < across < 40 or sign(across - mpmath.floor(across) - mpf(1) / 2) == 0:
            raise Unclear
        # holes from 1 mm to 40 mm across, one each millimetre
        self.new_ring(words, Ring(middle, mpmath.floor(across + mpf(1) / 2) / 2), opens=False)

    def ticks(self) -> None:
        name, line = self.ring(), self.drawn_line()
        ring, way = self.rings[name], self.lines[line].way
        if ring.ends is not None:
            raise Unclear
        self.new_marks(self.names(4, "q"), f"marks at the ticks of {name}, along {line}", [ring.centre + ring.radius * way * 1j**n for n in range(4)])

    def by_eye(self) -> None:
        a, b = self.mark(), self.mark()
        self.new_marks(self.names(), f"mark between {a} and {b}, by eye", [(self.marks[a] + self.marks[b]) / 2])

    def _pair(self) -> tuple[str, str, Ray | Ring, Ray | Ring]:
        drawn = {**self.lines, **self.rings}
        a, b = self.random.choice(list(drawn)), self.random.choice(list(drawn))
        if a == b or frozenset((a, b)) in self.touching:
            raise Unclear
        return a, b, drawn[a], drawn[b]

    def meet(self) -> None:
        a, b, one, other = self._pair()
        places = meetings(one, other)
        kept = [place for place in places if reaches(one, place) and reaches(other, place)]
        if len(kept) == 2 and same(*kept):
            kept = kept[:1]
        wanted = self.random.randrange(len(kept)) if kept else self._nothing()
        words = self.pick(kept, wanted) if len(kept) == 2 else ""
        lines = [name for name in (a, b) if name in self.lines]
        self.new_marks(self.names(), f"mark where {a} meets {b}{words}", [kept[wanted]], lines=lines)

    def _nothing(self) -> int:
        raise Unclear

    def meet_both(self) -> None:
        a, b, one, other = self._pair()
        places = meetings(one, other)
        if len(places) != 2 or same(*places) or not all(reaches(thing, place) for thing in (one, other) for place in places):
            raise Unclear
        self.new_marks(self.names(2, "p"), f"marks where {a} meets {b}", places, lines=[name for name in (a, b) if name in self.lines])

    def touch_line(self) -> None:
        mark, name = self.mark(), self.ring()
        places = tangents(self.marks[mark], self.rings[name])
        if not all(reaches(self.rings[name], place) for place in places):
            raise Unclear
        wanted = self.random.choice((0, 1))
        words = self.pick(places, wanted)
        ray = through(self.marks[mark], places[wanted])
        made = self.new_line(f"line through {mark}, touching {name}{words}", ray, (mark,))
        self.touching.add(frozenset((made, name)))

    def anyhow(self) -> None:
        mark, (said, degrees) = self.mark(), self.random.choice(ANGLES)
        line = self.random.choice(["", *self.lines])
        way = turned(self.lines[line].way if line else UP, Fraction(degrees, 360))
        if self.random.random() < 0.5:
            self.new_line(f"line anyhow through {mark}, say {said}{f' to {line}' if line else ''}", Ray(self.marks[mark], way), (mark,))
            return
        names = self.names(2, "l")
        self.add(names, f"legs of a square cornered at {mark}, anyhow, say {said}{f' to {line}' if line else ''}",
                 lambda: self.lines.update({names[0]: Ray(self.marks[mark], way), names[1]: Ray(self.marks[mark], way * 1j)}))  # fmt: skip
        self.lines_of.setdefault(mark, []).extend(names)

    def anywhere_on(self) -> None:
        name, (said, degrees) = self.ring(), self.random.choice(ANGLES)
        ring, line = self.rings[name], self.random.choice(["", *self.lines])
        way = turned(self.lines[line].way if line else UP, Fraction(degrees, 360))
        place = ring.centre + way * ring.radius
        if not reaches(ring, place):
            raise Unclear
        self.new_marks(self.names(), f"mark anywhere on {name}, say {said}{f' to {line}' if line else ''}", [place])

    def inside_edge(self) -> None:
        if self.blank != "round":
            raise Unclear
        mark = self.mark()
        place, line = self.marks[mark], (self.lines_of.get(mark) or self._none())
        first = min(line, key=list(self.lines).index)
        ray = self.lines[first]
        end = meetings(ray, Ring(mpc(0), self.plate))[1]
        if not reaches(ray, end) and ray.length is not None:
            raise Unclear
        said, width = self.random.choice((("12 mm", mpf(12)), ("1 in", exactly(Fraction(127, 5)))))
        if sign(abs(end - place) - width) <= 0:
            raise Unclear
        self.new_ring(f"circle about {mark}, {said} inside the edge", Ring(place, abs(end - place) - width))
