"""The unit of every measured column: stated, proved by physics, or asked.

Order of trust: the user's option, the header, the units row, the layout, the cells themselves, the
preamble, the convention of the trade (degrees, revolutions per minute), physics. A stated unit
that makes the numbers impossible is doubted and asked about, never used and never replaced.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ingest.physics import (
    agrees,
    carry_pairs,
    speed_pairs,
)
from ingest.plan import ColumnPlan
from ingest.units import UNITS, Dimension, find_unit
from schemas.tables import columns

Floats = NDArray[np.float64]

LIKELY: dict[Dimension, tuple[str, ...]] = {
    "length": ("m", "[yd_i]", "[ft_i]"),
    "speed": ("m/s", "[mi_i]/h", "km/h"),
    "angle": ("deg",),
    "spin": ("{rev}/min",),
    "time": ("s", "ms"),
    "ratio": ("1", "%"),
}
SHORT_LENGTHS = ("m", "cm", "[yd_i]", "[ft_i]", "[in_i]")
LARGEST_RADIANS = 1.6
"""Launch and landing angles that never exceed a right angle in radians may be radians."""
_SYSTEMS = {
    "metric": {"length": ("m",), "speed": ("m/s", "km/h")},
    "imperial": {"length": ("[yd_i]", "[ft_i]"), "speed": ("[mi_i]/h",)},
}
_SYSTEM_WORDS = {
    "metric": "metric metrisch métrique métrico metrico metrica métrica metriskt metriska metrique "
    "metrisk メートル法 미터법 si",
    "imperial": "imperial us angloamerikanisch impérial imperiale imperiaal imperiska englisch "
    "ヤードポンド法 야드파운드법 yards/mph imperialt britisch",
}


@dataclass(frozen=True)
class Case:
    """One measured column on its way to a unit. `values` are as written, NaN is missing."""

    plan: ColumnPlan
    dimension: Dimension
    values: Floats
    all_cells_have_units: bool
    candidates: tuple[str, ...]
    foreign: str | None = None

    @property
    def unit(self) -> str | None:
        """The unit, once it is known."""
        return self.plan.unit

    def settled(self, unit: str, by: str) -> "Case":
        """This case with its unit."""
        return replace(self, plan=replace(self.plan, unit=unit, unit_from=by), candidates=(unit,))

    def among(self, candidates: Sequence[str]) -> "Case":
        """This case with fewer candidates; unchanged when none would be left."""
        left = tuple(code for code in self.candidates if code in candidates)
        return replace(self, candidates=left) if left else self


def system_of(text: str) -> str | None:
    """`metric` or `imperial` when a text names a system of units."""
    words = text.casefold().replace(",", " ").split()
    for name, known in _SYSTEM_WORDS.items():
        if any(word in known.split() for word in words):
            return name
    return None


def stated_units(told: Mapping[str, str]) -> dict[Dimension, str]:
    """Units per dimension from preamble entries (`length_unit` → "yards", `units` → "yd, mph")."""
    found: dict[Dimension, str] = {}
    keys: dict[str, Dimension] = {
        "length_unit": "length",
        "speed_unit": "speed",
        "time_unit": "time",
        "angle_unit": "angle",
        "spin_unit": "spin",
    }
    for key, dimension in keys.items():
        code = find_unit(told.get(key, ""), dimension)
        if code:
            found[dimension] = code
    words = told.get("units", "").replace(";", ",").replace("/ ", ",").replace(" and ", ",")
    parts = [part for piece in words.split(",") for part in (piece, *piece.split(" "))]
    for part in parts:
        code = find_unit(part.strip(" .:=")) if part.strip(" .:=") else None
        if code and UNITS[code].dimension not in found:
            found[UNITS[code].dimension] = code
    if not found and "/" in words:
        for part in words.split("/"):
            code = find_unit(part.strip())
            if code:
                found.setdefault(UNITS[code].dimension, code)
    return found


def settle(
    cases: Mapping[str, Case], stated: Mapping[Dimension, str], system: str | None, table: str
) -> dict[str, Case]:
    """Every case with its unit where the preamble, convention, limits or physics settle it."""
    foreign = {name: case for name, case in cases.items() if case.foreign}
    done = {n: _from_preamble(c, stated, system) for n, c in cases.items() if n not in foreign}
    done = {name: _by_convention(case) for name, case in done.items()}
    done = {name: _by_limits(case, table) for name, case in done.items()}
    done = _by_inverse(done)
    for _ in range(2):
        done = _by_sums(_by_equal_ratio(done))
        done = _by_impact(done)
        done = _by_flight(done)
        done = {
            name: case.settled(case.candidates[0], "physics")
            if case.unit is None and len(case.candidates) == 1
            else case
            for name, case in done.items()
        }
    return {**done, **foreign}


def _from_preamble(case: Case, stated: Mapping[Dimension, str], system: str | None) -> Case:
    if case.unit is not None:
        return case
    if case.dimension in stated:
        return case.settled(stated[case.dimension], "preamble")
    allowed = _SYSTEMS.get(system or "", {}).get(case.dimension)
    left = set(allowed or ()) & set(case.candidates)
    if len(left) == 1:
        return case.settled(left.pop(), "preamble")
    return case.among(allowed) if allowed else case


def _by_convention(case: Case) -> Case:
    """Degrees, rpm and plain ratios need no unit, unless the numbers could be something else."""
    if case.unit is not None or case.foreign or case.dimension not in {"angle", "spin"}:
        return case
    largest = np.nanmax(np.abs(case.values)) if np.isfinite(case.values).any() else np.inf
    if case.dimension == "spin" and largest < 100 and case.plan.column == "spin_rpm":
        return replace(case, candidates=("{rev}/min", "{rev}/s"))
    if case.plan.column in {"launch_deg", "landing_deg"} and largest <= LARGEST_RADIANS:
        return replace(case, candidates=("deg", "rad"))
    return case.settled(LIKELY[case.dimension][0], "convention")


def fits_limits(case: Case, unit: str, table: str, share: float = 0.5) -> bool:
    """Whether at least `share` of the numbers, read in `unit`, lie within the column's limits."""
    column = columns(table)[case.plan.column]
    values = case.values[np.isfinite(case.values)]
    if values.size == 0:
        return True
    si = UNITS[unit].to_si(1.0) * values
    low = -np.inf if column.minimum is None else column.minimum
    high = np.inf if column.maximum is None else column.maximum
    return bool(((si >= low) & (si <= high)).mean() >= share)


def _by_limits(case: Case, table: str) -> Case:
    """Candidates under which no number would be possible are out; times differ by a thousand."""
    if case.unit is not None:
        return case
    share = 0.9 if case.dimension in {"time", "ratio"} else 0.5
    left = [unit for unit in case.candidates if fits_limits(case, unit, table, share)]
    if case.dimension in {"time", "ratio"} and len(left) == 1:
        return case.settled(left[0], "physics")
    return case.among(left)


def _by_inverse(cases: dict[str, Case]) -> dict[str, Case]:
    """Downswing ÷ backswing in the tempo column, proved row by row: the ratio is its inverse."""
    back, down = cases.get("backswing_s"), cases.get("downswing_s")
    tempo = cases.get("tempo_ratio")
    if back is None or down is None or tempo is None or back.unit != down.unit:
        return cases
    with np.errstate(divide="ignore", invalid="ignore"):
        quotient = down.values / back.values
    if back.unit is None or not agrees(quotient, tempo.values, tolerance=0.05):
        return cases
    turned = replace(tempo, plan=replace(tempo.plan, inverse=True))
    return {**cases, "tempo_ratio": turned.settled("1", "physics")}


def _by_equal_ratio(cases: dict[str, Case]) -> dict[str, Case]:
    """Ball ÷ club equal to the stated ratio in the file proves that both speeds share a unit."""
    ball, club = cases.get("ball_speed_mps"), cases.get("club_speed_mps")
    ratio = cases.get("ball_to_club_ratio")
    if ball is None or club is None or ratio is None:
        return cases
    scale = 0.01 if ratio.unit == "%" else 1.0
    with np.errstate(divide="ignore", invalid="ignore"):
        quotient = ball.values / club.values
    if not agrees(quotient, ratio.values * scale):
        return cases
    return _share_unit(cases, ("ball_speed_mps", "club_speed_mps"))


def _by_sums(cases: dict[str, Case]) -> dict[str, Case]:
    """Carry + roll = total in the numbers as written proves that the three share a unit."""
    names = ("carry_m", "roll_m", "total_m")
    if not all(name in cases for name in names):
        return cases
    carry, roll, total = (cases[name].values for name in names)
    if not agrees(carry + roll, total, tolerance=0.01):
        return cases
    return _share_unit(cases, names)


def _share_unit(cases: dict[str, Case], names: Sequence[str]) -> dict[str, Case]:
    known = {cases[name].unit for name in names} - {None}
    if len(known) != 1:
        return cases
    unit = known.pop()
    assert unit is not None
    return {
        name: case.settled(unit, "physics") if name in names and case.unit is None else case
        for name, case in cases.items()
    }


def launch_in_deg(cases: Mapping[str, Case]) -> Floats | None:
    """Launch angles in degrees, None when the file has none or their unit is open."""
    launch = cases.get("launch_deg")
    if launch is None or launch.unit is None:
        return None
    return launch.values * UNITS[launch.unit].to_si(1.0)


def _by_impact(cases: dict[str, Case]) -> dict[str, Case]:
    ball, club = cases.get("ball_speed_mps"), cases.get("club_speed_mps")
    if ball is None or club is None or (ball.unit and club.unit):
        return cases
    pairs = speed_pairs(
        ball.values, club.values, ball.candidates, club.candidates, launch_in_deg(cases)
    )
    if not pairs:
        return cases
    return _keep_pairs(cases, "ball_speed_mps", "club_speed_mps", pairs)


def _by_flight(cases: dict[str, Case]) -> dict[str, Case]:
    ball, launch = cases.get("ball_speed_mps"), launch_in_deg(cases)
    carry = cases.get("carry_m")
    if ball is None or carry is None or launch is None or (ball.unit and carry.unit):
        return cases
    pairs = carry_pairs(
        carry.values,
        ball.values,
        launch,
        carry_units=carry.candidates,
        speed_units=ball.candidates,
    )
    if not pairs:
        return cases
    return _keep_pairs(cases, "carry_m", "ball_speed_mps", pairs)


def _keep_pairs(
    cases: dict[str, Case], first: str, second: str, pairs: Sequence[tuple[str, str]]
) -> dict[str, Case]:
    out = dict(cases)
    out[first] = cases[first].among([pair[0] for pair in pairs])
    out[second] = cases[second].among([pair[1] for pair in pairs])
    return out
