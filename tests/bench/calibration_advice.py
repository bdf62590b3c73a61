"""Two promises of the ladder: equal rungs are seldom told apart; advice beats an even spread.

Gaps: each player has two rungs that truly carry the same, played on the same days or on days of
their own. Advice: players with six rungs, unevenly hit so far, hit twelve balls a day either where
`advise` says or evenly, until every rung is clear.
"""

from dataclasses import dataclass

import numpy as np

from analytics.carry_curve import curve_stack
from analytics.carry_ladder import LadderCell, ladders
from analytics.gaps import gaps_between
from analytics.next_best_shot import advise
from tests.analytics.simulated_players import Balls, World, connection, draw_truth, hit

RUNGS = ("low", "hip", "rib", "chest", "high", "full")
PER_DAY = 12
DAYS_MOST = 40


def false_gaps(
    n_balls: int, n_days: int, shared_days: bool, n_players: int = 1000, any_ball: bool = False
) -> float:
    """Share of truly equal neighbours called different (clear or too wide).

    any_ball: by the middles of all balls, mishits counted in.
    """
    days = n_days if shared_days else 2 * n_days
    world = World(n_players=n_players, speeds=(8.0, 9.0), seed=41)
    balls = hit(world, draw_truth(world), 2 * n_balls, days, 0)
    number = np.tile(np.arange(2 * n_balls), n_players)
    names = (number // n_days) % 2 if shared_days else balls.day % 2
    con = connection(balls, swing_length=np.array(["a", "b"])[names])
    found = ladders(curve_stack(con, "length", by_swing_length=True))
    called = [
        (gap.judgement_with_mishits if any_ball else gap.judgement) in {"clear", "too_wide"}
        for ladder in found.values()
        for gap in gaps_between(ladder)
    ]
    return float(np.mean(called))


@dataclass(frozen=True)
class Practice:
    """What it took until every rung was clear: mean balls and days; share of players who got there;
    and the mean squared error of the centres after 60 balls, in squared percent."""

    balls: float
    days: float
    done: float
    error_60: float


class Player:
    """Six rungs with their own spread, hit unevenly so far."""

    def __init__(self, number: int) -> None:
        self.rng = np.random.default_rng((51, number))
        self.level = np.log(4.0) + 0.22 * np.arange(6) + self.rng.normal(0, 0.05, 6)
        self.sd = 0.09 * np.exp(self.rng.normal(0, 0.35, 6))
        self.rung: list[int] = []
        self.day: list[int] = []
        self.carry: list[float] = []
        for day in range(3):
            shift = self.rng.normal(0, 0.03)
            for rung, n in enumerate(self.rng.permutation([1, 2, 4, 6, 8, 10])):
                for _ in range(n):
                    self.hit(rung, day, shift)

    def hit(self, rung: int, day: int, shift: float) -> None:
        self.rung.append(rung)
        self.day.append(day)
        self.carry.append(
            float(np.exp(self.level[rung] + shift + self.rng.normal(0, self.sd[rung])))
        )


def practise(n_players: int, advised: bool) -> Practice:
    """All players practise day by day, advised or evenly."""
    players = [Player(number) for number in range(n_players)]
    start = [len(player.carry) for player in players]
    clear_at = [0.0] * n_players
    days_at = [0.0] * n_players
    error = 0.0
    for day in range(3, 3 + DAYS_MOST):
        ladder = _ladders(players)
        still = [p for p in range(n_players) if not clear_at[p] and not _clear(ladder[p])]
        for p in range(n_players):
            if p not in still and not clear_at[p]:
                clear_at[p] = len(players[p].carry) - start[p] + 1e-9
                days_at[p] = day - 3
        if day == 3 + 60 // PER_DAY:
            error = float(np.mean([_error(players[p], ladder[p]) for p in range(n_players)]))
        active = still if day > 3 + 60 // PER_DAY else range(n_players)
        if not still and day > 3 + 60 // PER_DAY:
            break
        for p in active:
            _one_day(players[p], ladder[p], day, advised)
    done = [p for p in range(n_players) if clear_at[p]]
    return Practice(
        float(np.mean([clear_at[p] for p in done])),
        float(np.mean([days_at[p] for p in done])),
        len(done) / n_players,
        error,
    )


def _one_day(player: Player, ladder: list[LadderCell], day: int, advised: bool) -> None:
    shift = float(player.rng.normal(0, 0.03))
    hit_today: dict[str, int] = {}
    for number in range(PER_DAY):
        rung = number % 6
        if advised:
            best = advise(ladder, hit_today).best
            if best is not None:
                rung = RUNGS.index(best.cell.swing_length)
        name = f"SW {RUNGS[rung]}"
        hit_today[name] = hit_today.get(name, 0) + 1
        player.hit(rung, day, shift)


def _ladders(players: list[Player]) -> list[list[LadderCell]]:
    sizes = [len(player.carry) for player in players]
    n = sum(sizes)
    balls = Balls(
        np.repeat(np.arange(len(players)), sizes),
        np.zeros(n, dtype=int),
        np.concatenate([player.day for player in players]),
        np.full(n, np.nan),
        np.concatenate([player.carry for player in players]),
        np.zeros(n, dtype=bool),
    )
    rungs = np.array(RUNGS)[np.concatenate([player.rung for player in players])]
    stack = curve_stack(connection(balls, swing_length=rungs), "length", by_swing_length=True)
    found = ladders(stack)
    return [found[name] for name in sorted(found)]


def _clear(ladder: list[LadderCell]) -> bool:
    return len(ladder) == 6 and all(rung.centre.state == "clear" for rung in ladder)


def _error(player: Player, ladder: list[LadderCell]) -> float:
    off = [rung.log_centre - player.level[RUNGS.index(rung.swing_length)] for rung in ladder]
    return float(np.mean(np.square(off))) * 1e4


def main() -> None:
    for shared in (True, False):
        for n_balls, n_days in ((10, 2), (20, 2), (20, 4), (50, 5)):
            print(n_balls, n_days, shared, false_gaps(n_balls, n_days, shared))
    for advised in (True, False):
        print("advised" if advised else "even", practise(40, advised))


if __name__ == "__main__":
    main()
