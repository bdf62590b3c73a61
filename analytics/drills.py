"""Drills that homework is made of: what to do, in blocks, with a rule when to stop.

All are common practice of short-game coaching, no source. `part` is what a focus belongs to.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Drill:
    """One drill. `test` names the scored test that tells whether it helped."""

    part: str
    title: str
    task: str
    blocks: int
    balls_per_block: int
    stop_rule: str
    test: str


TIRED = "Stop early when two balls in a row are mishit or anything hurts."

DRILLS: tuple[Drill, ...] = (
    Drill(
        "landing",
        "Land it in the window",
        "One club, one landing window. Call each landing long, short or in before you look up.",
        3,
        10,
        "Stop a block after ten balls, wherever they landed.",
        "window_twenty@1",
    ),
    Drill(
        "direction",
        "Through the gate",
        "Two posts across the start line. Count only balls that pass without a touch.",
        3,
        10,
        "Stop a block after ten balls; move the gate only between blocks.",
        "gate_twenty@1",
    ),
    Drill(
        "bracket",
        "Long, short, then between",
        "Rehearse a little past the window, then a little short of it, then play the ball.",
        4,
        6,
        "Stop a block after six balls, rehearsals included eighteen swings.",
        "bracket_twelve@1",
    ),
    Drill(
        "tempo",
        "Short sets, same tempo",
        "Sets of fifteen swings with a pause of two minutes between; same count in every swing.",
        3,
        15,
        "Stop a set after fifteen swings even when it feels good.",
        "window_twenty@1",
    ),
    Drill(
        "contact",
        "Ball, then turf",
        "Half swings from a good lie. Say clean or not before you see the ball land.",
        3,
        10,
        "Stop a block after ten balls, or after three mishits in it.",
        "window_twenty@1",
    ),
    Drill(
        "leave",
        "Leave it below",
        "Chip to one hole from three places; aim to finish below it and within 6 ft.",
        3,
        9,
        "Stop a block after nine balls; change the place every three.",
        "nine_station_low_side@1",
    ),
    Drill(
        "test",
        "Nine stations",
        "Play the nine stations once, in order, every ball to the end.",
        1,
        9,
        "One round only: a second one on the same day counts for nothing.",
        "nine_station_hole_out@1",
    ),
    Drill(
        "measure",
        "Balls for the carry curve",
        "At three swing lengths in mixed order, with the launch device on.",
        1,
        15,
        "Stop after fifteen balls; hit the rest on another day.",
        "",
    ),
)


def drill_for(part: str) -> Drill:
    """The drill of a part of the game; the nine stations when there is none of its own."""
    by_part = {drill.part: drill for drill in DRILLS}
    return by_part.get(part, by_part["test"])
