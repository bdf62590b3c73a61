"""Text of launch exports in two invented layouts; the line of every ball comes back with it.

`field`: units in the headers (mph, ft), date and 12-hour time apart, sides as `2.1 R`.
`box`: a preamble, a row of units under the headers, 24-hour stamps, signed sides, a mean row last.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import radians, sin, tan

from demo_data.cast import FOOT_M, GRAVITY_MPS2, MPH_MPS, YARD_M, Player
from demo_data.session import Shot

FIELD_HEADER = (
    "No.,Date,Time,Club,Swing length,Club speed (mph),Ball speed (mph),Launch angle (deg),"
    "Start direction (deg),Backspin (rpm),Carry (ft),Side (ft),Peak height (ft),Note"
)
BOX_HEADER = (
    "Shot,Local time,Club,Swing length,Club speed,Ball speed,Launch angle,Start direction,"
    "Backspin,Carry,Side,Peak height,Flight time"
)


@dataclass(frozen=True)
class Ball:
    """One row of a launch export."""

    number: int
    stamp: datetime
    shot: Shot


@dataclass(frozen=True)
class Export:
    """Text of a file and the 1-based physical line of each row, in the order of the rows given."""

    text: str
    lines: tuple[int, ...]


@dataclass(frozen=True)
class BoxUnits:
    """Units the box writes: name and SI size of speed and distance."""

    speed: str = "m/s"
    speed_mps: float = 1.0
    distance: str = "m"
    distance_m: float = 1.0


METRIC = BoxUnits()
YARDS = BoxUnits("mph", MPH_MPS, "yd", YARD_M)


def _apex_m(shot: Shot) -> float:
    rise_mps = shot.ball_speed_mps * sin(radians(shot.launch_deg))
    return rise_mps**2 / (2 * GRAVITY_MPS2)


def _flight_s(shot: Shot) -> float:
    return 2 * shot.ball_speed_mps * sin(radians(shot.launch_deg)) / GRAVITY_MPS2


def _side_m(shot: Shot) -> float:
    return shot.carry_m * tan(radians(shot.start_right_deg))


def _left_right(value: float) -> str:
    return f"{abs(value):.1f} {'R' if value >= 0 else 'L'}"


def field_export(balls: Sequence[Ball]) -> Export:
    """The `field` layout: one header line, then a line per ball."""
    rows = [_field_row(ball) for ball in balls]
    return Export("\r\n".join([FIELD_HEADER, *rows, ""]), tuple(range(2, 2 + len(balls))))


def _field_row(ball: Ball) -> str:
    shot = ball.shot
    cells = (
        str(ball.number),
        ball.stamp.strftime("%Y-%m-%d"),
        ball.stamp.strftime("%I:%M:%S %p"),
        shot.club.text,
        shot.length,
        f"{shot.club_speed_mps / MPH_MPS:.2f}",
        f"{shot.ball_speed_mps / MPH_MPS:.2f}",
        f"{shot.launch_deg:.1f}",
        _left_right(shot.start_right_deg),
        f"{shot.spin_rpm:.0f}",
        f"{shot.carry_m / FOOT_M:.1f}",
        _left_right(_side_m(shot) / FOOT_M),
        f"{_apex_m(shot) / FOOT_M:.1f}",
        "",
    )
    return ",".join(cells)


def box_export(
    player: Player, balls: Sequence[Ball], units: BoxUnits = METRIC, decimal: str = "."
) -> Export:
    """The `box` layout; with a decimal comma the cells are parted by semicolons."""
    between = ";" if decimal == "," else ","
    preamble = ["Launch export", f"Player: {player.name}", f"Day: {balls[0].stamp:%Y-%m-%d}", ""]
    header = BOX_HEADER.replace(",", between)
    unit_row = ["", "", "", "", units.speed, units.speed, "deg", "deg", "rpm"]
    unit_row += [units.distance] * 3 + ["s"]
    rows = [_box_cells(ball, units) for ball in balls]
    means = ["Average", "", "", ""]
    means += [_mean([float(row[column]) for row in rows]) for column in range(4, 13)]
    table = [between.join(unit_row)]
    table += [between.join(cell.replace(".", decimal) for cell in row) for row in [*rows, means]]
    first = len(preamble) + 3
    text = "\n".join([*preamble, header, *table, ""])
    return Export(text, tuple(range(first, first + len(balls))))


def _mean(values: list[float]) -> str:
    return f"{sum(values) / len(values):.2f}"


def _box_cells(ball: Ball, units: BoxUnits) -> list[str]:
    shot = ball.shot
    return [
        str(ball.number),
        ball.stamp.strftime("%Y-%m-%d %H:%M:%S"),
        shot.club.kind,
        shot.length,
        f"{shot.club_speed_mps / units.speed_mps:.2f}",
        f"{shot.ball_speed_mps / units.speed_mps:.2f}",
        f"{shot.launch_deg:.1f}",
        f"{shot.start_right_deg:.1f}",
        f"{shot.spin_rpm:.0f}",
        f"{shot.carry_m / units.distance_m:.2f}",
        f"{_side_m(shot) / units.distance_m:.2f}",
        f"{_apex_m(shot) / units.distance_m:.2f}",
        f"{_flight_s(shot):.2f}",
    ]


def launch_export(
    player: Player, balls: Sequence[Ball], units: BoxUnits = METRIC, decimal: str = "."
) -> Export:
    """The export of the player's own device."""
    if player.device == "field":
        return field_export(balls)
    return box_export(player, balls, units, decimal)
