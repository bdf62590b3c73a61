"""Local times of a session: the launch device's right clock and the sensor's own one."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from demo_data.cast import ZONE, Player, day_of, randomness

CLOCK_FAULT_S = 61 * 60 + 20.0
CLOCK_FAULT_PLAYER = "Tobias"
CLOCK_FAULT_WEEKS = (5, 6, 7)
"""The weeks after the end of summer time: the sensor stayed on the old time, and 80 s more."""


def started_utc(player: Player, week: int) -> datetime:
    """When the session began, in true UTC."""
    local = datetime.combine(day_of(week), player.start, ZoneInfo(ZONE))
    return local.astimezone(ZoneInfo("UTC"))


def local_time(player: Player, week: int, at_s: float) -> datetime:
    """Local wall time without a zone, as a device with a right clock stamps it."""
    true = started_utc(player, week) + timedelta(seconds=at_s)
    return true.astimezone(ZoneInfo(ZONE)).replace(tzinfo=None)


def sensor_offset_s(player: Player, week: int, seed: int) -> float:
    """Seconds by which the sensor's clock is ahead of the launch device's."""
    if player.name == CLOCK_FAULT_PLAYER and week in CLOCK_FAULT_WEEKS:
        return CLOCK_FAULT_S
    rng = randomness(seed, player, week, "clock")
    return round(float(rng.uniform(-45, 45)), 1)
