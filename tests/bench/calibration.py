"""Calibration against its aims: coverage, width, run time, gaps, advice, scale.

The whole coverage table, level by level: `python -m tests.bench.calibration_coverage`.
"""

from collections.abc import Iterator

from tests.bench.calibration_advice import false_gaps, practise
from tests.bench.calibration_coverage import COUNTS, SPEEDS, WORLDS, coverage
from tests.bench.calibration_scale import measure
from tests.bench.calibration_width import width
from tests.bench.rows import Row

GROUP = "calibration"
QUICK_WORLDS = ("2 days", "10 % mishits", "unlike the prior")


def rows(quick: bool = False) -> list[Row]:
    """Every figure, worst cases first in each subject."""
    return [
        *_coverage(quick),
        *_width(quick),
        *_gaps(quick),
        *_advice(quick),
        *_scale(quick),
    ]


def _coverage(quick: bool) -> Iterator[Row]:
    """Per world the worst departure from nominal over levels, speeds, both bands and n ≥ 5."""
    for name in QUICK_WORLDS if quick else WORLDS:
        lines = [
            coverage(name, speeds, n_balls, 1000 if quick else 2000)
            for n_balls in COUNTS
            for speeds in SPEEDS
        ]
        more = [point for line in lines if line.n_balls >= 5 for point in line.departures()]
        worst = max(more, key=abs)
        label = f"coverage, {name}: worst points off nominal"
        aim = "within ±3 points of nominal from 5 balls"
        yield Row(f"{label}, n = 5 to 50", GROUP, worst, None, aim, abs(worst) <= 3)
        least = min(point for line in lines if line.n_balls == 3 for point in line.departures())
        aim = "never below nominal − 5 points"
        yield Row(f"{label} (low side), n = 3", GROUP, least, None, aim, least >= -5)


def _width(quick: bool) -> Iterator[Row]:
    n_players = 200 if quick else 1000
    for mishits in (0.0, 0.05):
        for n_balls in (5, 10) if quick else (3, 5, 10, 20, 50):
            found = width(n_balls, mishits, n_players, mixed=True)
            label = f"{n_balls} balls, {100 * mishits:.0f} % mishits"
            limit = 0.7 if n_balls <= 10 else 1.0
            for other in ("least squares", "mixed"):
                ratio = found.half["own"] / found.half[other]
                covered = f"{found.covered['own']:.0f} % against {found.covered[other]:.0f} %"
                name = f"band width over {other}, {label} (covers {covered})"
                yield Row(name, GROUP, None, ratio, f"at most {limit}", ratio <= limit)
            ratio = found.half["all known"] / found.half["mixed"]
            name = f"least width that any method can have over mixed, {label}"
            yield Row(name, GROUP, None, ratio, "tells what can be reached", True)
            if n_balls == 10:
                ratio = found.seconds["mixed"] / found.seconds["own"]
                name = f"MixedLM's time over ours, {n_players} curves, {label}"
                yield Row(name, GROUP, None, ratio, "at least 50", ratio >= 50)


def _gaps(quick: bool) -> Iterator[Row]:
    for shared in (True, False):
        words = "same days" if shared else "days of their own"
        for n_balls, n_days in ((20, 4),) if quick else ((10, 2), (20, 4), (50, 5)):
            found = false_gaps(n_balls, n_days, shared, 500 if quick else 2000)
            name = f"equal rungs called different, {n_balls} balls on {n_days} {words}"
            yield Row(name, GROUP, found, None, "at most 0.05", found <= 0.05)
            found = false_gaps(n_balls, n_days, shared, 500 if quick else 2000, any_ball=True)
            yield Row(f"{name}, with mishits", GROUP, found, None, "at most 0.05", found <= 0.05)


def _advice(quick: bool) -> Iterator[Row]:
    n_players = 10 if quick else 60
    advised, even = practise(n_players, advised=True), practise(n_players, advised=False)
    ratio = advised.balls / even.balls
    name = "balls until six rungs are clear, advised over even spread"
    yield Row(name, GROUP, None, ratio, "below 1", ratio < 1)
    ratio = advised.error_60 / even.error_60
    name = "squared error of the centres after 60 balls, advised over even"
    yield Row(name, GROUP, None, ratio, "below 1", ratio < 1)


def _scale(quick: bool) -> Iterator[Row]:
    n_players = 1000 if quick else 20_000
    for layout in ("rolled up", "import folders"):
        found = measure(layout, n_players, turns=2)
        name = f"calibrating {found.n_balls:,} balls over bare regr_slope, {layout}"
        yield Row(name, GROUP, None, found.ratio, "at most 1.5", found.ratio <= 1.5)
    name = f"peak memory of it, GB, {found.n_balls:,} balls"
    yield Row(name, GROUP, found.peak_gb, None, "at most 4", found.peak_gb <= 4)
