"""Coverage of the one-shot bands on simulated players: nominal against seen, in points.

    python -m tests.bench.calibration_coverage [seed] [world …]      prints the table, or some of it

Every line is a world of at least 1,000 players, each of whom then hits fresh balls, every one on a
day of its own. `clean` holds clean fresh balls against the clean band; `any` holds all fresh balls
against the band that counts mishits in.
"""

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from analytics.carry_curve import curve_stack
from analytics.curve_bands import bands
from analytics.pooling import Step
from analytics.population import ASSUMED, Population
from tests.analytics.simulated_players import World, connection, draw_truth, hit

LEVELS = (0.5, 0.8, 0.9, 0.95)
COUNTS = (3, 5, 10, 20, 50)
SPEEDS = {"spread": (5.0, 14.0), "bunched": (8.0, 10.0)}
FRESH = 5

ALONE = replace(
    ASSUMED,
    root=Step(0.0, 0.0),
    players=Step(
        ASSUMED.root.level + ASSUMED.players.level,
        ASSUMED.root.exponent + ASSUMED.players.exponent,
    ),
)
"""Every player for themselves: nothing is learnt from the others of the world."""

BASE = World(n_days=2, mishits=0.05, speed_noise=0.02, seed=20)

WORLDS: dict[str, tuple[World, Population | None]] = {
    "2 days": (BASE, None),
    "1 day": (replace(BASE, n_days=1), None),
    "4 days": (replace(BASE, n_days=4), None),
    "6 days": (replace(BASE, n_days=6), None),
    "no mishits": (replace(BASE, mishits=0.0), None),
    "10 % mishits": (replace(BASE, mishits=0.1), None),
    "1 % sensor noise": (replace(BASE, speed_noise=0.01), None),
    "5 % sensor noise": (replace(BASE, speed_noise=0.05), None),
    "delofting": (replace(BASE, exponent=(2.08, 0.05), curvature=0.15), None),
    "unlike the prior": (
        replace(BASE, level=(2.75, 0.25), exponent=(1.7, 0.1), shot_sd=0.12, day_sd=0.06),
        None,
    ),
    "each player alone": (BASE, ALONE),
    "two clubs": (replace(BASE, n_clubs=2), None),
}


@dataclass(frozen=True)
class Coverage:
    """Coverage seen in percent, by level, for clean balls and for balls of any kind."""

    world: str
    speeds: str
    n_balls: int
    clean: tuple[float, ...]
    any: tuple[float, ...]
    half_width: float

    def departures(self) -> list[float]:
        """Points above (+) or below (−) nominal, all levels and both bands."""
        seen = (*self.clean, *self.any)
        return [value - 100 * level for value, level in zip(seen, 2 * LEVELS, strict=True)]


def coverage(
    name: str, speeds: str, n_balls: int, n_players: int, seed: int = BASE.seed
) -> Coverage:
    """One line of the table."""
    world, population = WORLDS[name]
    days = min(world.n_days, n_balls)
    sizes = {"n_balls": n_balls, "n_players": n_players, "seed": seed}
    world = replace(world, speeds=SPEEDS[speeds], **sizes)
    truth = draw_truth(world)
    stack = curve_stack(connection(hit(world, truth, n_balls, days, 0)), population=population)
    fresh = hit(world, truth, FRESH, FRESH, 1)
    row = _rows_of(stack.table.player, stack.table.club, stack.table.clubs, fresh)
    known = row >= 0
    y = np.log(fresh.carry_m[known])
    clean_ball = ~fresh.mishit[known]
    clean, anyhow, half = [], [], 0.0
    for level in LEVELS:
        found = bands(stack, row[known], fresh.speed_mps[known], level)
        inside = (y >= found.one_shot[0]) & (y <= found.one_shot[1])
        clean.append(100 * float(inside[clean_ball].mean()))
        inside = (y >= found.with_mishits[0]) & (y <= found.with_mishits[1])
        anyhow.append(100 * float(inside.mean()))
        if level == 0.9:
            half = 50 * float(np.mean(found.one_shot[1] - found.one_shot[0]))
    return Coverage(name, speeds, n_balls, tuple(clean), tuple(anyhow), half)


def _rows_of(player, club, clubs, fresh):
    """Row of the stack of each fresh ball's curve; −1 where the player has none."""
    place = np.full((int(fresh.player.max()) + 1, 5), -1)
    order = {"SW": 0, "PW": 1, "9I": 2, "LW": 3, "GW": 4}
    place[player, [order[clubs[c]] for c in club]] = np.arange(len(player))
    return place[fresh.player, fresh.club]


def table(
    n_players: int, worlds: Sequence[str] = tuple(WORLDS), seed: int = BASE.seed
) -> Iterator[Coverage]:
    """Every line: worlds × speeds × counts."""
    for name in worlds:
        for n_balls in COUNTS:
            for speeds in SPEEDS:
                yield coverage(name, speeds, n_balls, n_players, seed)


def main() -> None:
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else BASE.seed
    heads = "".join(f"{100 * level:>7.0f}" for level in LEVELS)
    print(f"{'world':<20}{'speeds':<9}{'n':>4}  clean{heads}   any{heads}   ±90 %")
    for line in table(2000, sys.argv[2:] or tuple(WORLDS), seed):
        clean, anyhow = ("".join(f"{v:7.1f}" for v in part) for part in (line.clean, line.any))
        print(
            f"{line.world:<20}{line.speeds:<9}{line.n_balls:>4}       {clean}      {anyhow}"
            f"   {line.half_width:5.1f}",
            flush=True,
        )


if __name__ == "__main__":
    main()
