"""The weekly nine-station test: strokes per station that add up to the planned total."""

from dataclasses import dataclass

import numpy as np

from demo_data.cast import Player, randomness

TEST = "nine_station_hole_out@1"
STATIONS = (
    "fairway, 18 ft over",
    "fringe, 30 ft over",
    "light rough, 24 ft over",
    "upslope, 27 ft over",
    "downslope, 24 ft over",
    "bare lie, 21 ft over",
    "rough, 36 ft over",
    "ball above feet, 27 ft over",
    "short-sided, 15 ft over",
)
HARDNESS = (2.3, 2.3, 2.5, 2.5, 2.8, 2.8, 2.7, 2.6, 3.0)


@dataclass(frozen=True)
class StationScore:
    """One station of one attempt."""

    station: int
    text: str
    strokes: int
    leave_ft: float


def attempt(player: Player, week: int, seed: int) -> tuple[StationScore, ...]:
    """The nine stations of one week's test; the total is the player's planned one."""
    rng = randomness(seed, player, week, "test")
    while True:
        strokes = 1 + rng.poisson(np.array(HARDNESS) * player.test_totals[week] / 23.5 - 1)
        if strokes.sum() == player.test_totals[week] and strokes.max() <= 6:
            break
    return tuple(
        StationScore(number, text, int(count), _leave_ft(int(count), rng))
        for number, (text, count) in enumerate(zip(STATIONS, strokes, strict=True), start=1)
    )


def _leave_ft(strokes: int, rng: np.random.Generator) -> float:
    """A chip that needs one more stroke stops nearer than one that needs two."""
    return 0.0 if strokes == 1 else float(rng.gamma(3.0, 1.0) * (strokes - 1) * 0.9)
