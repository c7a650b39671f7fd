"""A claim decided: statement, exact numbers, and from them the verdict with its gap.

A false claim must never come out proved, nor a true one refuted: zero is
decided exactly, a sign by an enclosure that excludes zero, and whatever can not
be settled is "undecided", with the reason.
"""
