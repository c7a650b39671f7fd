"""Areas and small circles that are known in closed form, laid out and cut by recipes: exact.

The closed forms are classical (Hippocrates' lune: from memory of Simplicius' report; the arbelos: Book of Lemmas 4;
Malfatti's problem of 1803 for the equilateral triangle).  Decimals are worked out from them by sympy.  All lay
on paper, so that nothing but the figure is in the recipe.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Any

import pytest
import sympy

from construct.chips import Chip
from construct.chips.angles import part_of_turn
from construct.chips.measures import area, area_enclosure
from construct.geometry import radius

Root = Callable[[Any], Any]

SQUARE = """recipe Square
paper
given A at (0, 0) mm, B at (60, 0) mm, D at (60, 60) mm, E at (0, 60) mm
step Middles
  around A, B, D, E as p, q
    side.p : line from p to q
    m.p : mark halfway from p to q, by ruler
  end
"""

ROSETTE = """recipe Seven circles
paper
given O at (0, 0) mm, A at (10, 0) mm
step Circles
  r : opening, from O to A
  ring : circle about O, opening r
  B, D, E, F, G : marks stepped from A round ring, opening r
  around A, B, D, E, F, G as p
    a.p : circle about p, opening r
  end
carve
  around A, B, D, E, F, G as o, p, q
    cut a.o from O to p
    cut a.q from O to p
    petal.p : chip inside a.o and a.q
  end
"""


def chip(outcome: Any, name: str) -> Chip:
    found: Chip = outcome.study.carving.chip(outcome.study.plan.index(name))
    return found


def parts(outcome: Any, *names: str) -> tuple[Any, Any]:
    """Return the areas' sum as (algebraic part, what stands before π), both exact; every angle must be a part of a turn."""
    algebraic = times_pi = outcome.exact.rational(0)
    for name in names:
        measured = area(outcome.exact, chip(outcome, name))
        algebraic = algebraic + measured.algebraic
        for arc in measured.arcs:
            part = part_of_turn(outcome.exact, arc.cosine, arc.sine)
            assert part is not None
            times_pi = times_pi + arc.square * part
    return algebraic, times_pi


def covers(outcome: Any, names: tuple[str, ...], algebraic: Callable[[Root], Any], times_pi: Callable[[Root], Any]) -> None:
    """Demand an area: exactly, part by part, and by sympy's decimals inside our enclosure."""
    a, b = parts(outcome, *names)
    outcome.equal(algebraic, a)
    outcome.equal(times_pi, b)
    wanted = Fraction(str(sympy.N(algebraic(sympy.sqrt) + times_pi(sympy.sqrt) * sympy.pi, 60)))
    bounds = [area_enclosure(outcome.exact, area(outcome.exact, chip(outcome, name)), 30) for name in names]
    slack = Fraction(1, 10**45)
    assert sum(low for low, _ in bounds) - slack <= wanted <= sum(high for _, high in bounds) + slack


def test_petals_of_half_circles_in_a_square(studied: Any) -> None:
    """Half-circles on the sides of a square of side a: a petal is a²(π/8 − 1/4), the four a²(π/2 − 1)."""
    outcome = studied(SQUARE + """
  around A, B, D, E as p
    z.p : circle about m.p, through p
  end
carve
  around A, B, D, E as p, q
    cut z.p inside z.q
    cut z.q inside z.p
    petal.q : chip inside z.p and z.q
  end
  claim petal.A, petal.B, petal.D, petal.E are alike
""")
    outcome.all_proved()
    covers(outcome, ("petal.A",), lambda sqrt: Fraction(-900), lambda sqrt: Fraction(450))
    covers(outcome, ("petal.A", "petal.B", "petal.D", "petal.E"), lambda sqrt: Fraction(-3600), lambda sqrt: Fraction(1800))


def test_lens_of_two_quarter_circles(studied: Any) -> None:
    """Quarter circles about opposite corners of a square of side a: the lens is a²(π/2 − 1)."""
    outcome = studied(SQUARE + """
  a : circle about A, through B
  d : circle about D, through B
carve
  cut a from B to E
  cut d from B to E
  lens : chip with corners B, E
""")
    covers(outcome, ("lens",), lambda sqrt: Fraction(-3600), lambda sqrt: Fraction(1800))


def test_centre_of_four_quarter_circles(studied: Any) -> None:
    """Quarter circles about all corners: what lies in all four is a²(1 − √3 + π/3); the nine regions make the square."""
    outcome = studied(SQUARE + """
  around A, B, D, E as p, q
    a.p : circle about p, through q
  end
carve
  around A, B, D, E as o, p, q
    cut side.p
    cut a.p from o to q
  end
  heart : chip inside a.A, a.B, a.D and a.E
""")
    covers(outcome, ("heart",), lambda sqrt: 3600 - 3600 * sqrt(3), lambda sqrt: Fraction(1200))
    # the heart, four leaves and four hats
    assert 9 == len(outcome.study.carving.chips)
    bounds = [area_enclosure(outcome.exact, area(outcome.exact, one), 30) for one in outcome.study.carving.chips]
    assert sum(low for low, _ in bounds) <= 3600 <= sum(high for _, high in bounds)


LUNE = """recipe Lune
paper
given O at (0, 0) mm, A at (10, 0) mm, B at (0, 10) mm
step Circles
  c : circle about O, through A
  k : line from A to B
  u : arc about A, opening from A to B
  v : arc about B, same opening
  P, Q : marks where u meets v
  h : line through P and Q
  M : mark where h meets k
  z : circle about M, through A
  g : line from O to A
  l : line from O to B
carve
  cut z outside c
  cut c inside z
  cut g
  cut l
  cut k
  lune : chip inside z, outside c
  third : chip with corners O, A, B
"""


def test_lune_of_hippocrates(studied: Any) -> None:
    """The lune on a side of the inscribed square is as large as the triangle under it, r²/2: no π is left."""
    outcome = studied(LUNE + "  claim lune and third are alike in area\n")
    outcome.all_proved()
    covers(outcome, ("lune",), lambda sqrt: Fraction(50), lambda sqrt: Fraction(0))


def test_a_lune_that_is_not_hippocrates(studied: Any) -> None:
    """Drawn about a mark a tenth of a millimetre beside the middle, the lune is no longer equal, and the gap is small."""
    beside = "W : mark 0.1 mm from M toward O, by ruler\n  z : circle about W"
    text = LUNE.replace("z : circle about M", beside)
    outcome = studied(text + "  claim lune and third are alike in area\n")
    (verdict,) = outcome.study.verdicts
    assert "refuted" == verdict.verdict
    assert 0.1 < abs(verdict.finding.value) < 3


def test_vesica(studied: Any) -> None:
    """Two circles of radius r through each other's centres: width r, height √3 r, area r²(2π/3 − √3/2) (Euclid I.1)."""
    outcome = studied("""recipe Vesica
paper
given A, B, 6 mm apart
step Circles
  a : circle about A, through B
  b : circle about B, through A
  P, Q : marks where a meets b
carve
  cut a inside b
  cut b inside a
  eye : chip with corners P, Q
""")
    covers(outcome, ("eye",), lambda sqrt: -18 * sqrt(3), lambda sqrt: Fraction(24))
    outcome.equal(lambda sqrt: 6 * sqrt(3), outcome.length("P", "Q"))


def test_rosette_of_seven_circles(studied: Any) -> None:
    """One petal is r²(π/3 − √3/2), six are r²(2π − 3√3); all alike."""
    names = tuple(f"petal.{p}" for p in "ABDEFG")
    outcome = studied(f"{ROSETTE}  claim {', '.join(names)} are alike\n")
    outcome.all_proved()
    covers(outcome, names[:1], lambda sqrt: -50 * sqrt(3), lambda sqrt: Fraction(100, 3))
    covers(outcome, names, lambda sqrt: -300 * sqrt(3), lambda sqrt: Fraction(200))


@pytest.mark.parametrize(("a", "b"), [(3, 2), (5, 5), (1, 7)])
def test_arbelos(studied: Any, a: int, b: int) -> None:
    """Half-circles of radii a and b under one of radius a + b: what is left is πab (Book of Lemmas, 4)."""
    outcome = studied(f"""recipe Arbelos
paper
given A at (0, 0) mm, M at ({2 * a}, 0) mm, B at ({2 * (a + b)}, 0) mm, U at ({2 * a}, 1) mm, K at ({a}, 0) mm, L at ({2 * a + b}, 0) mm,
      O at ({a + b}, 0) mm
step Circles
  k : line from A to B
  c : circle about O, through A
  d : circle about K, through A
  e : circle about L, through B
carve
  cut c
  cut d
  cut e
  cut k
  blade : chip inside c, outside d and e, on the U side of k
""")
    covers(outcome, ("blade",), lambda sqrt: Fraction(0), lambda sqrt: Fraction(a * b))


MALFATTI = """recipe Three circles in a triangle
paper
given A, B, 40 mm apart
step The triangle
  u : arc about A, opening from A to B
  v : arc about B, same opening
  D, W : marks where u meets v
  around A, B, D as p, q
    side.p : line from p to q
  end
step Heights, each to the middle of the side across
  around A, B, D as p, q, r
    foot.p : mark halfway from q to r, by ruler
    height.p : line from p to foot.p
  end
step The circle in the half triangle at each corner
  around A, B, D as p, q, r
    w.p : arc about q, 10 mm by ruler
    e.p : mark where w.p meets side.p
    f.p : mark where w.p meets height.q
    x.p : arc about e.p, same opening
    y.p : arc about f.p, same opening
    g.p : mark where x.p meets y.p, other than q
    halver.p : line through q and g.p
    I.p : mark where halver.p meets height.p
    plumb.p : line square to side.p, through I.p, by square
    t.p : mark where plumb.p meets side.p
    ball.p : circle about I.p, through t.p
  end
  claim ball.A touches ball.B
  claim ball.B touches ball.D
  claim ball.D touches ball.A
  claim ball.A touches side.A
  claim ball.A touches side.D
  claim ball.B touches side.A
  claim ball.B touches side.B
  claim ball.D touches side.B
  claim ball.D touches side.D
  claim I.A t.A is (sqrt(3) - 1) / 4 of A B
"""

CUT_MALFATTI = """carve
  around A, B, D as p
    cut side.p
    cut ball.p
    disc.p : chip inside ball.p
  end
  claim disc.A, disc.B, disc.D are alike
"""


def test_malfatti_in_the_equilateral_triangle(studied: Any) -> None:
    """Three circles that touch each other and two sides each have radius (√3 − 1)/4 of the side (G. Malfatti 1803).

    Each is the circle in one half of the triangle, which touches the height; tangencies are claims, all proved.
    """
    outcome = studied(MALFATTI + CUT_MALFATTI)
    outcome.all_proved()
    outcome.equal(lambda sqrt: 10 * (sqrt(3) - 1), outcome.length("I.A", "t.A"))
    # twelve tangencies, no crossing: three discs, three corners, three gaps along the sides, one in the middle
    assert 10 == len(outcome.study.carving.chips)
    covers(outcome, ("disc.A", "disc.B", "disc.D"), lambda sqrt: Fraction(0), lambda sqrt: 1200 - 600 * sqrt(3))
    share = 3 * sympy.pi * ((sympy.sqrt(3) - 1) / 4) ** 2 / (sympy.sqrt(3) / 4)
    assert "0.729009112317963694" == str(sympy.N(share, 18))
    low = sum(area_enclosure(outcome.exact, area(outcome.exact, chip(outcome, f"disc.{p}")), 20)[0] for p in "ABD")
    assert float(share) == pytest.approx(float(low) / (1600 * 3**0.5 / 4), rel=1e-14)


def test_three_equal_circles(studied: Any) -> None:
    """Three circles of radius 1 that touch: the circle between them has radius 2/√3 − 1, the one round them 2/√3 + 1."""
    outcome = studied("""recipe Three
paper
given A, B, 2 mm apart
step The three
  u : arc about A, opening from A to B
  v : arc about B, same opening
  D, W : marks where u meets v
  around A, B, D as p, q
    m.p : mark halfway from p to q, by ruler
    c.p : circle about p, through m.p
  end
  g : line from A to m.B
  h : line from B to m.D
  O : mark where g meets h
  small : circle about O, touching c.A, from outside
  large : circle about O, touching c.A, from inside
  claim c.A touches c.B
  claim c.B touches c.D
  claim c.D touches c.A
  claim small touches c.A
  claim small touches c.B
  claim small touches c.D
  claim large touches c.A
  claim large touches c.B
  claim large touches c.D
carve
  around A, B, D as p
    cut c.p
  end
  cut small
  cut large
  core : chip inside small
  ball : chip inside c.A
""")
    outcome.all_proved()
    outcome.equal(lambda sqrt: 2 / sqrt(3) - 1, radius(outcome.exact, outcome["small"]))
    outcome.equal(lambda sqrt: 2 / sqrt(3) + 1, radius(outcome.exact, outcome["large"]))
    outcome.prints("0.15470053837925152902", radius(outcome.exact, outcome["small"]))
    outcome.prints("2.154700538379251529", radius(outcome.exact, outcome["large"]))
    covers(outcome, ("core",), lambda sqrt: Fraction(0), lambda sqrt: (7 - 4 * sqrt(3)) / 3)
    covers(outcome, ("ball",), lambda sqrt: Fraction(0), lambda sqrt: Fraction(1))
    # four discs, three gaps between the small one and two others, three between two and the large one
    assert 10 == len(outcome.study.carving.chips)
