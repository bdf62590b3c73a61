"""Practice sessions with two clocks and known truth, for measuring the pairing.

One session: a player rehearses (long, then short), strikes, walks after the ball, and again. The
launch device logs the strikes, the tempo sensor every swing, each with its own clock, losses and
habits. What a session is like (pace, rhythm, speeds, scales, which columns exist, what the stamp
means) is drawn anew for each session, so that nothing can be tuned to one kind of player.
All spreads are assumptions, not measurements of players.
"""

from dataclasses import dataclass, field

import numpy as np

from analytics.pairing_logs import LaunchLog, SwingLog
from tests.bench.pairing_scenarios import Setting

Generator = np.random.Generator


@dataclass(frozen=True)
class Session:
    """Two logs and what truly happened; indices point into the rows of the logs."""

    launch: LaunchLog
    swings: SwingLog
    struck: dict[int, int]
    rehearsed: dict[int, tuple[int, str]]
    offset_s: float
    drift_ppm: float
    related: bool


@dataclass
class _Events:
    """Swings and shots on true time while a session is being made."""

    time: list[float] = field(default_factory=list)
    speed: list[float] = field(default_factory=list)
    shot: list[int] = field(default_factory=list)
    role: list[str] = field(default_factory=list)

    def add(self, time: float, speed: float, shot: int, role: str) -> None:
        self.time.append(time)
        self.speed.append(speed)
        self.shot.append(shot)
        self.role.append(role)


def strike_times(rng: Generator, setting: Setting) -> np.ndarray:
    """Strike times on true time, seconds, shape (shots,)."""
    n = setting.shots
    pace = rng.uniform(*setting.pace_s)
    if setting.metronome_jitter_s is not None:
        return 60 + np.arange(n) * pace + rng.normal(0, setting.metronome_jitter_s, n)
    family = rng.choice(["lognormal", "gamma", "normal", "sets"])
    if family == "lognormal":
        gaps = pace * np.exp(rng.normal(0, rng.uniform(0.15, 0.6), n))
    elif family == "gamma":
        shape = rng.uniform(3, 20)
        gaps = rng.gamma(shape, pace / shape, n)
    elif family == "normal":
        gaps = pace * (1 + rng.normal(0, rng.uniform(0.08, 0.25), n))
    else:
        gaps = pace * np.exp(rng.normal(0, 0.2, n))
        gaps[:: int(rng.integers(5, 11))] += rng.uniform(90, 300)
    return 60 + np.cumsum(np.maximum(gaps, 14.0))


def _rehearse(rng: Generator, events: _Events, at: float, speed: float, shot: int,
              setting: Setting, pace: tuple[float, float], width: float) -> None:  # fmt: skip
    if rng.random() > setting.bracket_share:
        if rng.random() < 0.5:
            events.add(at - pace[0] * rng.uniform(0.7, 1.4), speed, shot, "rehearse")
        return
    short_at = at - pace[0] * np.exp(rng.normal(0, 0.2))
    long_at = short_at - pace[1] * np.exp(rng.normal(0, 0.2))
    noise = rng.normal(0, 0.03, 2)
    events.add(long_at, speed * np.exp(width + noise[0]), shot, "rehearse_long")
    events.add(short_at, speed * np.exp(-width + noise[1]), shot, "rehearse_short")


def _events(rng: Generator, setting: Setting) -> tuple[_Events, np.ndarray]:
    struck = strike_times(rng, setting)
    n = len(struck)
    targets = np.exp(rng.normal(0, rng.uniform(0.03, 0.3), int(rng.integers(1, 6))))
    hold = int(rng.choice([1, 1, 5, 10]))
    speed = rng.uniform(8, 20) * targets[(np.arange(n) // hold) % len(targets)]
    speed = speed * np.exp(rng.normal(0, rng.uniform(0.02, 0.08), n))
    events = _Events()
    pace = (rng.uniform(3.5, 7), rng.uniform(3, 6))
    width = rng.uniform(0.05, 0.15)
    for shot, (at, v) in enumerate(zip(struck, speed, strict=True)):
        events.add(at, v, shot, "strike")
        _rehearse(rng, events, at, v, shot, setting, pace, width)
        for _ in range(rng.poisson(setting.waggles_per_shot)):
            slow = v * rng.uniform(0.15, 0.7)
            events.add(at - rng.uniform(0.8, 12), slow, -1, "waggle")
    span = struck[-1] - struck[0] + 60
    for _ in range(rng.poisson(setting.strays_per_shot * n)):
        v = np.median(speed) * np.exp(rng.normal(0, 0.3))
        events.add(struck[0] - 60 + rng.random() * (span + 60), v, -1, "stray")
    for i in range(int(rng.integers(0, 9))):
        v = np.median(speed) * rng.uniform(0.7, 1.2)
        events.add(struck[0] - 40 - 6 * i - rng.uniform(0, 3), v, -1, "warm_up")
    return events, speed


def _stamp(rng: Generator, time: np.ndarray, resolution_s: float) -> np.ndarray:
    if resolution_s <= 0:
        return np.round(time, 3)
    mode = rng.choice(["floor", "round"])
    grid = time / resolution_s
    return (np.floor(grid) if mode == "floor" else np.round(grid)) * resolution_s


def _sensor_clock(rng: Generator, time: np.ndarray, setting: Setting, offset_s: float,
                  drift_ppm: float) -> np.ndarray:  # fmt: skip
    clock = time + offset_s + drift_ppm * 1e-6 * (time - time.min())
    for at in rng.uniform(0.2, 0.8, setting.steps):
        size = rng.uniform(*setting.step_range_s) * rng.choice([-1, 1])
        clock = clock + np.where(time > np.quantile(time, at), size, 0.0)
    return clock


def _shares(rng: Generator, setting: Setting, n: int) -> np.ndarray:
    """Which shots the player with the sensor struck."""
    if setting.other_player == "alternate":
        return np.arange(n) % 2 == 0
    if setting.other_player == "blocks":
        return (np.arange(n) // int(rng.integers(3, 8))) % 2 == 0
    if setting.other_player == "random":
        return rng.random(n) < 0.5
    return np.ones(n, bool)


def _within(time: np.ndarray, share: tuple[float, float]) -> np.ndarray:
    low, high = np.quantile(time, share)
    return (time >= low) & (time <= high)


def _doubled(rng: Generator, rows: int, setting: Setting) -> np.ndarray:
    """Row order of a file: as logged, or with doubled and swapped rows."""
    order = np.arange(rows)
    if not setting.dirty:
        return order
    order = np.concatenate([order, rng.choice(order, max(1, rows // 20))])
    return rng.permutation(order) if rng.random() < 0.5 else np.sort(order)


def _first_row(order: np.ndarray) -> dict[int, int]:
    first: dict[int, int] = {}
    for row, event in enumerate(order):
        first.setdefault(int(event), row)
    return first


def _swing_log(rng: Generator, setting: Setting, time: np.ndarray, speed: np.ndarray,
               clock: tuple[float, float], keep: np.ndarray, waggle: np.ndarray
               ) -> tuple[SwingLog, dict[int, int]]:  # fmt: skip
    n = len(time)
    scale, power = rng.choice([0.4, 1.0, 2.237, 3.6]), rng.uniform(0.8, 1.2)
    length = rng.normal(0, 0.05, n) + 0.2 * (np.log(speed) - np.median(np.log(speed)))
    back = rng.uniform(0.5, 0.9) * np.exp(length) * np.where(waggle, rng.uniform(0.2, 1.2, n), 1)
    down = rng.uniform(0.22, 0.35) * np.exp(rng.normal(0, 0.05, n) + 0.3 * length)
    down = down * np.where(waggle, rng.uniform(0.4, 2.0, n), 1)
    stamp = rng.choice(["impact", "start", "end"])
    shift = {"impact": 0.0 * back, "start": -(back + down), "end": 0.3 + 0.5 * back}[stamp]
    jitter = rng.normal(0, np.exp(rng.uniform(np.log(0.02), np.log(0.2))), n)
    own = _sensor_clock(rng, time + shift + jitter, setting, *clock)
    measured = scale * speed**power * np.exp(rng.normal(0, rng.uniform(0.01, 0.05), n))
    if not setting.with_speed:
        measured = np.full(n, np.nan)
    if not setting.with_tempo:
        back, down = np.full(n, np.nan), np.full(n, np.nan)
    rows = np.flatnonzero(keep)
    rows = rows[np.argsort(own[rows], kind="stable")]
    order = _doubled(rng, len(rows), setting)
    first = _first_row(order)
    take = rows[order]
    log = SwingLog(
        _stamp(rng, own, setting.swing_resolution_s)[take], measured[take], back[take], down[take]
    )
    return log, {int(event): first[i] for i, event in enumerate(rows)}


def _launch_log(rng: Generator, setting: Setting, time: np.ndarray, speed: np.ndarray,
                keep: np.ndarray) -> tuple[LaunchLog, dict[int, int]]:  # fmt: skip
    jitter = rng.normal(0, rng.uniform(0.005, 0.05), len(time))
    stamped = _stamp(rng, time + jitter, setting.launch_resolution_s)
    ball = rng.uniform(0.8, 1.2) * speed * np.exp(rng.normal(0, rng.uniform(0.02, 0.06), len(time)))
    if setting.dirty:
        ball = np.where(rng.random(len(time)) < 0.1, np.nan, ball)
    if not setting.with_speed and rng.random() < 0.5:
        ball = np.full(len(time), np.nan)
    rows = np.flatnonzero(keep)
    order = _doubled(rng, len(rows), setting)
    first = _first_row(order)
    take = rows[order]
    return LaunchLog(stamped[take], ball[take]), {int(e): first[i] for i, e in enumerate(rows)}


def make_session(setting: Setting, rng: Generator) -> Session:
    """One session with truth."""
    events, shot_speed = _events(rng, setting)
    time, speed = np.array(events.time), np.array(events.speed)
    shot, role = np.array(events.shot), np.array(events.role)
    struck = role == "strike"
    mine = _shares(rng, setting, setting.shots)
    hers = (shot < 0) | mine[np.maximum(shot, 0)]
    kept = hers & (rng.random(len(time)) >= setting.swing_miss)
    kept &= _within(time, setting.keep_swings)
    offset_s = rng.uniform(*setting.offset_s)
    drift_ppm = rng.uniform(-1, 1) * setting.drift_ppm
    swings, swing_row = _swing_log(
        rng, setting, time, speed, (offset_s, drift_ppm), kept, role == "waggle"
    )
    source, source_speed = time[struck], shot_speed
    if setting.unrelated:
        fresh, source_speed = _events(rng, setting)
        source = np.array(fresh.time)[np.array(fresh.role) == "strike"]
    seen = rng.random(len(source)) >= setting.launch_miss
    seen &= _within(source, setting.keep_shots)
    launch, shot_row = _launch_log(rng, setting, source, source_speed, seen)
    if setting.unrelated:
        return Session(launch, swings, {}, {}, offset_s, drift_ppm, False)
    at_swing = {int(shot[e]): row for e, row in swing_row.items() if role[e] == "strike"}
    pairs = {row: at_swing[s] for s, row in shot_row.items() if s in at_swing}
    rehearsed = {
        row: (shot_row.get(int(shot[e]), -1), str(role[e]))
        for e, row in swing_row.items()
        if role[e].startswith("rehearse")
    }
    return Session(launch, swings, pairs, rehearsed, offset_s, drift_ppm, True)
