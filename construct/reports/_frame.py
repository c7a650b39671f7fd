"""The lines of a recipe that no tool brings: its head, rounds and ways, and what comes after `carve`.

Tools and claims list their own phrases; these have no file of their own.  Each
stands here as an example that can be written as it is, by the key of its note in
`[frame.note]`; the tests put every one of them through the parser.
"""

from __future__ import annotations

from construct.language.words import RESERVED
from construct.phrasebook import say

HEAD = (
    ("recipe Six petals", "recipe"),
    ("plate round, 240 mm across, 15 mm thick, basswood", "plate"),
    ("plate round, anything across, say 240 mm", "anything"),
    ("board 300 mm by 200 mm, 20 mm thick", "board"),
    ("paper", "paper"),
    ("bench ordinary, ruler graduated 0.5 mm", "bench"),
    ("bench compass to 180 mm, template from 1 mm to 40 mm by 1 mm", "bench_limits"),
    ("bench oval 0.8 mm across the grain", "oval"),
    ("bench moisture 9 % when turned, 12 % now", "moisture"),
    ("given A, B, 100 mm apart", "given"),
    ("given A at (0, 0) mm, B at (90, 30) mm", "given_at"),
)

BODY = (
    ("step Find the centre", "step"),
    ("p1, p2 : marks where g meets rim", "two"),
    ("p1 to p16 : marks stepped from p0 round rim, opening r", "many"),
    ("dial : marks B, L, T, R", "row"),
    ("around p1 to p6 as p, q\n  a.p : line from p to q\nend", "around"),
    ("around p1 to p6 in a row as p, q\n  a.p : line from p to q\nend", "in_a_row"),
    (
        "way compass\n  M : mark where m meets g\nway ruler\n  M : mark halfway from A to B, by ruler\nend",
        "way",
    ),
    (
        "method halving of A and B gives M\n  r : opening, anything over half of A B\n  u : arc about A, opening r\n"
        "  v : arc about B, opening r\n  X, Y : marks where u meets v\n  m : line through X and Y\n  g : line from A to B\n"
        "  M : mark where m meets g\nend",
        "method",
    ),
    ("N : halving of A and B", "use_method"),
    ("claim A B is 50 mm within 0.2 mm", "within"),
)

CARVE = (
    ("carve", "carve"),
    ("knife 65 deg", "knife"),
    ("knife 65 deg and 55 deg on c", "knife_two"),
    ("deepest 6 mm", "deepest"),
    ("land at least 1 mm", "land"),
    ("cut ring", "cut"),
    ("cut c from A to B", "cut_between"),
    ("cut c from A to B, the long way", "cut_long"),
    ("cut c inside d", "cut_inside"),
    ("groove rim, 1.5 mm wide", "groove"),
    ("leaf : chip inside c and d", "chip_inside"),
    ("dart : chip with corners A, B, D", "chip_corners"),
    ("half1 : chip with corners A, B, on the D side of m", "chip_side"),
    ("eye : chip that holds C", "chip_holds"),
    ("leave the chip that holds C", "leave"),
    ("claim leaf1 and leaf2 are alike", "alike"),
)

SECTIONS = (("head", HEAD), ("body", BODY), ("carve", CARVE))


def rows() -> list[dict[str, str]]:
    """Return every line with its section and its note, in the order in which a recipe has them."""
    return [{"section": section, "text": text, "note": say(f"frame.note.{key}")} for section, found in SECTIONS for text, key in found]


def never_names() -> str:
    """Return the sentence that lists the words which nothing may be called."""
    return say("frame.never", words=" ".join(sorted(RESERVED)))
