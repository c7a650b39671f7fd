"""The plan replayed: `settle` fills in the sides by exact numbers, `replay` walks a settled plan in any system."""

from construct.replay.settle import Condition, Settled, settle
from construct.replay.walk import DRAWN_PLATE, argument_value, asked_of_picks, blank_edge, length_value, replay, replay_around

__all__ = [
    "DRAWN_PLATE",
    "Condition",
    "Settled",
    "argument_value",
    "asked_of_picks",
    "blank_edge",
    "length_value",
    "replay",
    "replay_around",
    "settle",
]
