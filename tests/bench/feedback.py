"""Feedback figures: reliable probabilities, false alarms, power, and what is avoided.

Every figure is simulated with fresh seeds per row; `quick` takes fewer players.
"""

from collections.abc import Iterator

import numpy as np
from scipy.stats import ttest_ind

from analytics.bracket import bracket_odds, correction, order_probability, rehearsal_bias
from analytics.brackets import TripleOdds, brackets
from analytics.discovery import FALSE_SHARE
from analytics.feedback import feedback
from analytics.findings import session_report
from analytics.focus import choose_focus
from analytics.tempo import drift
from tests.bench.feedback_players import EXPONENT, Plant, simulate, without
from tests.bench.feedback_store import PLAYER, Rows, rows_of
from tests.bench.rows import Row

GROUP = "feedback"
ORDER_TABLE = {
    0.01: (0.84, 0.97, 1.00, 1.00),
    0.02: (0.54, 0.71, 0.92, 0.995),
    0.03: (0.40, 0.54, 0.76, 0.94),
    0.05: (0.30, 0.38, 0.54, 0.74),
}
"""Simulated apart from this code: rows sensor scatter, columns k of 2, 3, 5, 8 % of speed."""


def rows(quick: bool = False) -> list[Row]:
    """All figures of this group."""
    n = 100 if quick else 1000
    return [
        *_reliability(n // 2),
        *_through_the_store(n // 20),
        _order_table(),
        *_bias(n // 2),
        *_false_alarms(1000),
        *_power(n // 5),
        _naive(n),
        _steady_focus(n // 5),
    ]


def calibration_error(probability: np.ndarray, happened: np.ndarray, bins: int = 10) -> float:
    """Mean distance of stated and seen share over equal bins, weighted by their counts."""
    place = np.minimum((probability * bins).astype(int), bins - 1)
    count = np.bincount(place, minlength=bins)
    stated = np.bincount(place, weights=probability, minlength=bins)
    seen = np.bincount(place, weights=happened.astype(float), minlength=bins)
    return float(np.sum(np.abs(stated - seen)) / count.sum())


def _reliability(n: int) -> list[Row]:
    """Brackets 2 to 14 ft wide, centres scattered by 2 ft, a rehearsal 4 % too fast."""
    stated: dict[str, list[np.ndarray]] = {}
    seen: dict[str, list[np.ndarray]] = {}
    for i in range(n):
        rng = np.random.default_rng([11, i])
        width, centre = rng.uniform(2, 14), rng.normal(0, 2)
        plant = Plant(width_ft=(width, width), centre_ft=centre, rehearsal_speed_bias=0.04)
        player = simulate(rng, plant)
        t = player.practice.triples
        odds = bracket_odds(t, correction(t))
        past, short = player.true_long_m > t.far_m, player.true_short_m < t.near_m
        for name, p, y in (
            ("long past the window", odds.long_past, past),
            ("short of the window", odds.short_of, short),
            ("shot between", odds.shot_between, player.between),
            ("window held", odds.window_held, past & short),
        ):
            known = np.isfinite(p)
            stated.setdefault(name, []).append(p[known])
            seen.setdefault(name, []).append(y[known])
    return [
        _at_most(
            f"calibration error, {name}",
            calibration_error(np.concatenate(stated[name]), np.concatenate(seen[name])),
            0.03,
        )
        for name in stated
    ]


def _through_the_store(n: int) -> list[Row]:
    """The same of players of whom there are only rows: curve, scale and bias are learnt."""
    out = []
    for sensor_sd in (0.015, 0.03):
        stated: dict[str, list[float]] = {}
        seen: dict[str, list[bool]] = {}
        for i in range(n):
            rows = rows_of(np.random.default_rng([31, i]), sensor_sd)
            triples = brackets(feedback(rows.connection, PLAYER)).triples
            rows.connection.close()
            for odds in triples:
                for name, p, y in _judged(odds, rows):
                    if p is not None:
                        stated.setdefault(name, []).append(p)
                        seen.setdefault(name, []).append(y)
        worst = max(
            calibration_error(np.array(stated[name]), np.array(seen[name])) for name in stated
        )
        name = f"calibration error from rows alone, worst of four, sensor {100 * sensor_sd:g} %"
        out.append(_at_most(name, worst, 0.03))
    return out


def _judged(odds: TripleOdds, rows: Rows) -> Iterator[tuple[str, float | None, bool]]:
    event = odds.row.shot.event_id
    long_m, short_m = rows.long_m[event], rows.short_m[event]
    past, short = long_m > odds.far_m, short_m < odds.near_m
    yield "long", odds.long_past, past
    yield "short", odds.short_of, short
    yield "held", odds.window_held, past and short
    yield "between", odds.shot_between, short_m < odds.row.carry_m < long_m


def _order_table() -> Row:
    k = np.array([0.02, 0.03, 0.05, 0.08])
    gaps = [np.abs(order_probability(k, sd) - row) for sd, row in ORDER_TABLE.items()]
    return _at_most("order probability, worst gap to the table", float(np.max(gaps)), 0.02)


def _bias(n: int) -> list[Row]:
    truth = EXPONENT * np.log(1.04)
    found = [
        rehearsal_bias(
            simulate(
                np.random.default_rng([12, i]), Plant(rehearsal_speed_bias=0.04)
            ).practice.triples
        )
        for i in range(n)
    ]
    covered = float(np.mean([e.low <= truth <= e.high for e in found]))
    speed = float(np.mean([np.expm1(e.value / EXPONENT) for e in found]))
    return [
        Row("rehearsal bias of 4 % covered, 95 % interval", GROUP, covered, None, "0.93 to 0.97",
            0.93 <= covered <= 0.97),
        Row("rehearsal bias of 4 %, mean found", GROUP, speed, None, "0.04 within 0.004",
            abs(speed - 0.04) <= 0.004),
    ]  # fmt: skip


def _false_alarms(n: int) -> list[Row]:
    reports = [session_report(simulate(np.random.default_rng([13, i])).practice) for i in range(n)]
    any_found = float(np.mean([any(f.verdict == "effect" for f in report) for report in reports]))
    declared = [
        session_report(simulate(np.random.default_rng([14, i])).practice, "tempo_drift")
        for i in range(n)
    ]
    with_focus = float(np.mean([any(f.verdict == "effect" for f in r) for r in declared]))
    drifts = [drift(simulate(np.random.default_rng([15, i])).practice.tempo) for i in range(n)]
    alarm = float(np.mean([e.p_value <= FALSE_SHARE for e in drifts]))
    uncorrected = float(np.mean([any(f.p_value <= 0.05 for f in r) for r in reports]))
    return [
        _at_most("null players with any clear finding", any_found, 0.05),
        _at_most("the same with a declared focus", with_focus, 0.05),
        _at_most("tempo drift, false alarms of the test itself", alarm, 0.05),
        Row("null players with any tile at p < 0.05 uncorrected", GROUP, uncorrected, None,
            "shown as what is avoided", True),
    ]  # fmt: skip


def _power(n: int) -> list[Row]:
    base = Plant()
    cases = [
        ("tempo_drift", without(base, sessions=6, tempo_fall=0.3), "fall 0.3, 6 sessions", 0.95),
        ("bracket_width", without(base, width_ft=(14.0, 8.0)), "14 to 8 ft, 8 sessions", 0.95),
        ("start_side", without(base, push_deg=-2.0), "2 degrees, 8 sessions", 0.95),
    ]
    out = []
    for key, plant, words, aim in cases:
        found = _found(key, plant, n)
        aimed = f"at least {aim}"
        out.append(Row(f"{key}: {words}, found", GROUP, found, None, aimed, found >= aim))
    spread = _found("landing_spread", without(base, spread_ft=(3.0, 2.3)), n)
    out.append(
        Row("landing_spread: 3.0 to 2.3 ft, 8 sessions, called clear", GROUP, spread, None,
            "at most 0.25: mostly still open", spread <= 0.25)
    )  # fmt: skip
    return out


def _found(key: str, plant: Plant, n: int) -> float:
    hits = 0
    for i in range(n):
        report = session_report(simulate(np.random.default_rng([16, i]), plant).practice)
        hits += any(f.key == key and f.verdict == "effect" for f in report)
    return hits / n


def _naive(n: int) -> Row:
    """Two days of 22 shots, a fifth of the variance between days, pooled shots compared."""
    rng = np.random.default_rng(17)
    day = rng.normal(0, np.sqrt(0.2), (n * 4, 2, 1))
    shots = day + rng.normal(0, np.sqrt(0.8), (n * 4, 2, 22))
    p = ttest_ind(shots[:, 0], shots[:, 1], axis=1).pvalue
    false = float(np.mean(p < 0.05))
    return Row("naive t-test of pooled shots, two days, no change: calls a change", GROUP, false,
               None, "about 0.43, shown as what is avoided", 0.38 <= false <= 0.48)  # fmt: skip


def _steady_focus(n: int) -> Row:
    """The focus stays when tiles without effect are drawn anew (another seed of the noise)."""
    same = 0
    plant = Plant(push_deg=-2.0)
    for i in range(n):
        report = session_report(simulate(np.random.default_rng([18, i]), plant).practice)
        other = session_report(simulate(np.random.default_rng([19, i]), plant).practice)
        kept = [f for f in report if f.key == "start_side"]
        mixed = kept + [f for f in other if f.key != "start_side"]
        same += choose_focus(mixed).key == choose_focus(report).key == "start_side"
    share = same / n
    return Row("focus unchanged by shuffled noise tiles", GROUP, share, None, "at least 0.95",
               share >= 0.95)  # fmt: skip


def _at_most(name: str, value: float, limit: float) -> Row:
    return Row(name, GROUP, value, None, f"at most {limit}", value <= limit)
