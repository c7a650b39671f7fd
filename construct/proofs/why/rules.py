"""The rule base, in the classical style: what follows from what, and which proposition says so.

Numbers are those of Heath's edition of the *Elements*; statements are quoted from
memory, and each rule is tested on thousands of random figures.  Each rule's
sentence stands in the phrasebook under `why.<key>`.  Rules that are quiet only
say the same in other words.
"""

from __future__ import annotations

from construct.proofs.why.patterns import Rule, rule

CIRCLES = (
    rule("radius", "Euclid I, definition 15", quiet=True,
         given="O middle of c; A on c", then="O A = radius c"),
    rule("reaches-circle", "Euclid I, definition 15",
         given="O middle of c; O A = radius c", then="A on c"),
    rule("angle-in-half-circle", "Euclid III.31", either="AB",
         given="M halves A B; M A = M V", seen="V apart from A; V apart from B",
         then="V A square to V B"),
    rule("diameter", "Euclid III.31, the other way round", either="AB",
         given="O middle of c; A on c; B on c; V on c; V A square to V B", seen="A apart from B; V apart from A; V apart from B",
         then="O on A B"),
    rule("right-angle-middle", "Euclid III.31, the other way round", either="AB",
         given="M halves A B; V A square to V B", seen="V apart from A; V apart from B",
         then="M A = M V"),
    rule("right-angles-circle", "Euclid III.31, the other way round", either="AB UV",
         given="V A square to V B; U A square to U B",
         seen="V apart from U; V apart from A; V apart from B; U apart from A; U apart from B",
         then="V on circle across A B; U on circle across A B"),
    rule("angle-on-chord", "Euclid III.21", late=True, either="AB VW",
         given="A on c; B on c; V on c; W on c", seen="A apart from B; V apart from W; V and W on one side of A B",
         then="angle A V B = angle A W B"),
    rule("four-on-a-circle", "Euclid III.22", late=True,
         given="A on c; B on c; D on c; P on c; X on A B", seen="B between A and X; B and D on two sides of A P; A P B not in line",
         then="angle P B X = angle P D A"),
    rule("angle-at-middle", "Euclid III.20", late=True, either="AB",
         given="O middle of c; A on c; B on c; V on c", seen="V and O on one side of A B; A O B not in line",
         then="angle A V B = 1/2 angle A O B"),
    rule("equal-chords", "Euclid III.27 and III.28", late=True,
         given="O middle of c; A on c; B on c; A B = C D; C on c; D on c", seen="A apart from B; A O B not in line",
         then="angle A O B = angle C O D"),
    rule("crossing-chords", "Euclid III.35 and III.36", either="PQ RS",
         given="P on k; Q on k; P on c; Q on c; R on l; S on l; R on c; S on c; X on k; X on l",
         seen="P apart from Q; R apart from S; k crosses l",
         then="X P times X Q = X R times X S"),
    rule("cutting-and-touching", "Euclid III.36", either="PQ",
         given="l touches c at T; X on l; X on k; P on k; Q on k; P on c; Q on c", seen="P apart from Q; k crosses l",
         then="X P times X Q = X T times X T"),
)

TOUCHING = (
    rule("touching-is-square", "Euclid III.18",
         given="k touches c at T; O middle of c", seen="O apart from T",
         then="k square to O T"),
    rule("square-is-touching", "Euclid III.16, porism",
         given="O middle of c; T on c; T on k; k square to O T", seen="O apart from T",
         then="k touches c; k touches c at T"),
    rule("equal-touching-lines", "Euclid III.17 and III.36", either="AB",
         given="k touches c at A; l touches c at B; P on k; P on l", seen="k crosses l",
         then="P A = P B"),
    rule("touching-distance", "Euclid III.18", quiet=True,
         given="k touches c; O middle of c", then="O to k = radius c"),
    rule("reaching-is-touching", "Euclid III.16, porism",
         given="O middle of c; O to k = radius c", then="k touches c"),
    rule("circles-touch", "Euclid III.11, III.12 and III.13", either="cd",
         given="T on c; T on d; O middle of c; P middle of d; T on O P", seen="O apart from P; O apart from T; P apart from T",
         then="c touches d; c touches d at T"),
)

EQUAL_LENGTHS = (
    rule("equally-far-is-square", "Euclid I.8 and I.4, as in I.12", either="AB PQ",
         given="P A = P B; Q A = Q B", seen="P apart from Q; A apart from B",
         then="P Q square to A B"),
    rule("on-the-halving-line", "Euclid I.8 and I.4, as in I.10", either="AB PQ",
         given="P A = P B; Q A = Q B; X A = X B", seen="P apart from Q; A apart from B",
         then="X on P Q"),
    rule("halving-line-is-equally-far", "Euclid I.8 and I.4, as in I.10", either="AB PQ",
         given="P A = P B; Q A = Q B; X on P Q", seen="P apart from Q; A apart from B",
         then="X A = X B"),
    rule("square-halves", "Euclid I.26, as in III.3", either="AB",
         given="P A = P B; k square to A B; P on k; M on k; M on A B", seen="A apart from B",
         then="M halves A B"),
    rule("halving-line-halves", "Euclid I.10", either="AB PQ",
         given="P A = P B; Q A = Q B; M on P Q; M on A B", seen="P apart from Q; A apart from B",
         then="M halves A B"),
    rule("square-is-equally-far", "Euclid I.4", either="AB",
         given="P A = P B; P on k; k square to A B; X on k", seen="A apart from B",
         then="X A = X B"),
    rule("middle-of-two", "Euclid I, definition 15 and I.10", either="AB", quiet=True,
         given="M A = M B; M on A B", seen="A apart from B", then="M halves A B"),
    rule("half-along", "Euclid I.10", quiet=True,
         given="A M = 1/2 A B; M on A B", seen="A apart from B; A not between M and B", then="M halves A B"),
    rule("middle-means", "what halfway means", quiet=True,
         given="M halves A B", seen="A apart from B", then="M on A B; M A = M B; A M = 1/2 A B"),
)

ANGLES = (
    rule("equal-sides-equal-angles", "Euclid I.5", either="AB",
         given="O A = O B", seen="O A B not in line", then="angle O A B = angle O B A"),
    rule("three-sides", "Euclid I.8", either="AB",
         given="O A = O B; P A = P B", seen="O apart from P; A apart from B; O apart from A; P apart from A",
         then="angle A O P = angle B O P"),
    rule("two-sides-and-angle", "Euclid I.4", either="AB",
         given="O A = O B; angle A O P = angle B O P", seen="O apart from P; A apart from B; O apart from A",
         then="P A = P B"),
    rule("equal-sided", "Euclid I.1, I.5 and I.32", either="AB",
         given="O A = O B; A B = O A", seen="O apart from A; A apart from B", then="angle A O B = 1/6 turn"),
    rule("third-angle", "Euclid I.32", late=True,
         given="angle P B X = angle Q D Z; P X square to B X; Q Z square to D Z", seen="P B X not in line; Q D Z not in line",
         then="angle B P X = angle D Q Z"),
    rule("straight-on", "Euclid I.14 and I.15", late=True,
         given="angle B Y X = angle D Y Z; Y on B D", seen="Y between B and D; X and Z on two sides of B D", then="X on Y Z"),
    rule("half-angle", "Euclid I.9", late=True, either="AB",
         given="angle A O P = angle B O P", seen="P within angle A O B", then="angle A O P = 1/2 angle A O B"),
    rule("right-between", "Euclid I, definition 10", quiet=True,
         given="O middle of c; O on k; O on l; k square to l; A on k; B on l; A on c; B on c",
         seen="A apart from O; B apart from O", then="angle A O B = 1/4 turn"),
    rule("straight-across", "Euclid I, definition 17", either="AB", quiet=True,
         given="O middle of c; A on c; B on c; O on A B", seen="O between A and B", then="turn A O B = 1/2"),
    rule("halving-the-v", "Euclid I.9",
         given="line k splits A O B; angle A O P = angle B O P", seen="P within angle A O B", then="P on k"),
    rule("halving-line-of-angle", "Euclid I.26, as in IV.4", late=True, either="EF",
         given="angle E A G = angle F A G; A on k; E on k; A on l; F on l; I on A G",
         seen="k crosses l; E apart from A; F apart from A; G apart from A",
         then="I to k = I to l"),
    rule("once-round", "a whole turn", either="AB",
         given="O middle of c; A on c; B on c; turn A O B = 0", then="A is B"),
)

PARALLELS = (
    rule("line-of-middles", "Euclid VI.2 and VI.4", either="BC",
         given="M halves A B; N halves A C", seen="A B C not in line",
         then="M N parallel to B C; M N = 1/2 B C"),
    rule("diamond", "Euclid I.8 and I.27", either="BD",
         given="A B = A D; A B = B C; A D = D C", seen="A apart from C; B apart from D; A B D not in line",
         then="A B parallel to D C; A D parallel to B C"),
    rule("slanted-box", "Euclid I.34",
         given="A B parallel to D C; A D parallel to B C", seen="A B D not in line; A B C not in line",
         then="A B = D C; A D = B C"),
    rule("joined-ends", "Euclid I.33",
         given="A B = D C; A B parallel to D C", seen="A B D not in line; B and C on one side of A D",
         then="A D parallel to B C; A D = B C"),
    rule("between-parallels", "Euclid VI.4, by I.29",
         given="A B = q C D; A B parallel to C D; S on A C; S on B D", seen="A B C not in line; A C crosses B D",
         then="S A = q S C; S B = q S D"),
    rule("same-shape", "Euclid VI.4, by I.29", late=True,
         given="A B = q D E; A B parallel to D E; B C parallel to E F; A C parallel to D F", seen="A B C not in line",
         then="B C = q E F; A C = q D F"),
    rule("end-to-end", "Euclid VI.32",
         given="S A = q S C; S on A C; A B = q C D; A B parallel to C D", seen="S between A and C; B and D on two sides of A C",
         then="S on B D"),
    rule("part-of-whole", "Euclid V.18", quiet=True,
         given="S A = q S C; S on A C", seen="S between A and C; A apart from S; C apart from S",
         then="A S = q/(1+q) A C; C S = 1/(1+q) A C"),
    rule("one-parallel", "Euclid I.31", quiet=True,
         given="A on k; A B parallel to k", seen="A apart from B", then="B on k"),
)

SQUARES = (
    rule("squares-on-sides", "Euclid I.47", late=True,
         given="H A square to B D", seen="H apart from A; B apart from D", then="balance H A of B D"),
    rule("squares-added", "Euclid I, common notion 1", late=True,
         given="balance H A of B D; balance H B of A D", seen="A B D not in line", then="balance H D of A B"),
    rule("squares-say-square", "Euclid I.48", late=True,
         given="balance H A of B D", seen="H apart from A; B apart from D", then="H A square to B D"),
)

PLACES = (
    rule("one-crossing", "Euclid I, postulate 1", either="XY kl",
         given="X on k; X on l; Y on k; Y on l", seen="k crosses l", then="X is Y"),
    rule("same-mark-same-line", "Euclid I, common notion 4", quiet=True,
         given="X is Y; Y on k", then="X on k"),
    rule("same-mark-same-middle", "Euclid I, common notion 4", quiet=True,
         given="X is Y; Y middle of c", then="X middle of c"),
)

RULES: tuple[Rule, ...] = (*CIRCLES, *TOUCHING, *EQUAL_LENGTHS, *ANGLES, *PARALLELS, *SQUARES, *PLACES)
BY_KEY = {one.key: one for one in RULES}
