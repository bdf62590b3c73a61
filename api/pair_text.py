"""The clocks of a player's sessions as lines of text."""

from collections import Counter
from collections.abc import Iterable, Iterator

from api.pair_player import ClockFound


def clock_lines(found: Iterable[ClockFound]) -> Iterator[str]:
    """Per session: verdict, clock map, margin, and what stayed unpaired and why."""
    for one in found:
        day = one.session_id.partition(":")[2]
        if one.verdict != "paired":
            yield f"{day}: {one.verdict.replace('_', ' ')}. {one.reason} Mend: {one.mend}"
            continue
        yield (
            f"{day}: {one.n_pairs} of {one.n_shots} balls paired among {one.n_swings} swings; "
            f"sensor clock {_signed(one.offset_s)}, drift {one.drift_ppm or 0:.0f} ppm, "
            f"residual {one.residual_s or 0:.2f} s, margin {one.margin or 0:.0f} nats"
        )
        for step in one.steps:
            yield f"  step of {step['size_s']:+.1f} s in the sensor's clock"
        if one.sensor_day and one.sensor_day != day:
            yield f"  the sensor dated this session {one.sensor_day}"
        for why, n in Counter(why for _, why in one.unpaired).items():
            yield f"  {n} balls unpaired: {why}"


def _signed(offset_s: float | None) -> str:
    seconds = offset_s or 0.0
    minutes, rest = divmod(abs(seconds), 60)
    size = f"{minutes:.0f} min {rest:.1f} s" if minutes else f"{rest:.1f} s"
    return f"{size} {'ahead' if seconds >= 0 else 'behind'}"
