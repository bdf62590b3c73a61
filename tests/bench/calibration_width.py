"""Width and run time of the carry curve beside ordinary least squares and a mixed model.

All three see the same balls and are asked for the band of one fresh clean ball on a fresh day:
least squares per player as it stands in any textbook, and statsmodels' MixedLM with random level
and slope by player, its predictions from the usual best linear unbiased ones. Once without any
mishit, once with one ball in twenty mishit.

`all known` is what nobody can be narrower than: it is told how players differ, each player's own
spreads, the device's error and which balls were mishits, and has only level and exponent to find.
"""

import time
import warnings
from dataclasses import dataclass, replace

import numpy as np
from scipy import stats
from statsmodels.regression.mixed_linear_model import MixedLM

from analytics.carry_curve import curve_stack
from analytics.curve_bands import bands
from tests.analytics.simulated_players import CLUBS, World, connection, draw_truth, hit

COUNTS = (3, 5, 10, 20, 50)
WORLD = World(n_days=3, speed_noise=0.02, seed=31)


@dataclass(frozen=True)
class Width:
    """Mean half-width of the 90 % band of one fresh ball in percent, and coverage in percent."""

    n_balls: int
    mishits: float
    half: dict[str, float]
    covered: dict[str, float]
    seconds: dict[str, float]


def width(n_balls: int, mishits: float, n_players: int, mixed: bool) -> Width:
    """One comparison; `mixed` also fits the mixed model."""
    world = replace(WORLD, mishits=mishits, n_players=n_players, n_balls=n_balls)
    truth = draw_truth(world)
    balls = hit(world, truth, n_balls, min(3, n_balls), 0)
    fresh = hit(replace(world, mishits=0.0), truth, 5, 5, 1)
    x, y = (np.log(part).reshape(n_players, -1) for part in (balls.speed_mps / 10, balls.carry_m))
    at, seen = np.log(fresh.speed_mps / 10).reshape(n_players, -1), np.log(fresh.carry_m)
    con = connection(balls)
    own_s = []
    for _ in range(3):
        start = time.process_time()
        stack = curve_stack(con)
        own_s.append(time.process_time() - start)
    seconds = {"own": min(own_s)}
    own = bands(stack, fresh.player, fresh.speed_mps, 0.9)
    ends = {"own": own.one_shot, "least squares": _least_squares(x, y, at)}
    ends["all known"] = _all_known(world, truth, balls, at)
    if mixed:
        start = time.process_time()
        fitted = _mixed_fit(x, y)
        seconds["mixed"] = time.process_time() - start
        ends["mixed"] = _mixed_bands(fitted, x, y, at)
    half = {name: 50 * float(np.mean(high - low)) for name, (low, high) in ends.items()}
    covered = {
        name: 100 * float(np.mean((seen >= low) & (seen <= high)))
        for name, (low, high) in ends.items()
    }
    return Width(n_balls, mishits, half, covered, seconds)


def _least_squares(x, y, at):
    n = x.shape[1]
    mx, my = x.mean(axis=1, keepdims=True), y.mean(axis=1, keepdims=True)
    sxx = ((x - mx) ** 2).sum(axis=1, keepdims=True)
    slope = ((x - mx) * (y - my)).sum(axis=1, keepdims=True) / sxx
    rest = y - my - slope * (x - mx)
    s2 = (rest**2).sum(axis=1, keepdims=True) / (n - 2)
    half = stats.t.ppf(0.95, n - 2) * np.sqrt(s2 * (1 + 1 / n + (at - mx) ** 2 / sxx))
    middle = my + slope * (at - mx)
    return (middle - half).ravel(), (middle + half).ravel()


def _all_known(world, truth, balls, at):
    """The exact posterior band of one fresh ball, everything but the player's own line known."""
    x, y, day, mishit = (
        part.reshape(world.n_players, -1)
        for part in (np.log(balls.speed_mps / 10), np.log(balls.carry_m), balls.day, balls.mishit)
    )
    loft = (50.0 - CLUBS[0][1]) * 0.025
    usual = np.array([world.level[0] + loft, world.exponent[0]])
    prior = np.diag([1 / world.level[1] ** 2, 1 / world.exponent[1] ** 2])
    read = (world.exponent[0] * world.speed_noise) ** 2
    lows, highs = [], []
    for i in range(world.n_players):
        ball, between = truth.shot_sd[i] ** 2 + read, truth.day_sd[i] ** 2
        kept = ~mishit[i]
        z = np.column_stack([np.ones(kept.sum()), x[i, kept]])
        same = day[i, kept][:, None] == day[i, kept]
        weight = np.linalg.inv(ball * np.eye(kept.sum()) + between * same)
        covariance = np.linalg.inv(z.T @ weight @ z + prior)
        line = covariance @ (z.T @ weight @ y[i, kept] + prior @ usual)
        there = np.column_stack([np.ones(at.shape[1]), at[i]])
        spread = np.einsum("ij,jk,ik->i", there, covariance, there)
        half = 1.6449 * np.sqrt(spread + ball + between)
        lows.append(there @ line - half)
        highs.append(there @ line + half)
    return np.concatenate(lows), np.concatenate(highs)


def _mixed_fit(x, y):
    n_players, n = x.shape
    design = np.column_stack([np.ones(x.size), x.ravel()])
    groups = np.repeat(np.arange(n_players), n)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns at the edge of the parameter space
        return MixedLM(y.ravel(), design, groups, exog_re=design).fit(reml=True)


def _mixed_bands(fitted, x, y, at):
    scale, between = float(fitted.scale), np.asarray(fitted.cov_re)
    fixed = np.asarray(fitted.fe_params)
    lows, highs = [], []
    for player in range(x.shape[0]):
        z = np.column_stack([np.ones(x.shape[1]), x[player]])
        precision = z.T @ z / scale + np.linalg.pinv(between)
        covariance = np.linalg.inv(precision)
        effect = covariance @ z.T @ (y[player] - z @ fixed) / scale
        there = np.column_stack([np.ones(at.shape[1]), at[player]])
        middle = there @ (fixed + effect)
        half = 1.6449 * np.sqrt(scale + np.einsum("ij,jk,ik->i", there, covariance, there))
        lows.append(middle - half)
        highs.append(middle + half)
    return np.concatenate(lows), np.concatenate(highs)


def main() -> None:
    for mishits in (0.0, 0.05):
        for n_balls in COUNTS:
            print(width(n_balls, mishits, 1000, mixed=True))


if __name__ == "__main__":
    main()
