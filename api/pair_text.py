"""Pairings in plain lines for the command line."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from api.pair_document import PairingDocument
from api.pair_player import SessionMap


def file_lines(found: PairingDocument) -> Iterator[str]:
    """What became of two files."""
    yield f"{found['verdict']}: {found['reason']}"
    if found["mend"]:
        yield f"Mend: {found['mend']}"
    clock = found["clock"]
    if clock is not None:
        yield _clock(clock["offset_s"], clock["drift_ppm"], clock["residual_s"], clock["margin"])
        for step in clock["steps"]:
            yield f"  the clock jumped by {step['size_s']:+.2f} s at line {step['launch_line']}"
    yield (
        f"{len(found['pairs'])} pairs, {len(found['rehearsals'])} rehearsals, "
        f"{len(found['unpaired'])} shots without a swing, {len(found['other'])} other swings"
    )
    yield from _reasons([one["why"] for one in found["unpaired"]], "shots")
    yield from _reasons([one["why"] for one in found["other"]], "swings")


def session_lines(maps: Sequence[SessionMap]) -> Iterator[str]:
    """What became of a player's sessions."""
    if not maps:
        yield "Nothing to pair: shots and swings are both needed."
    for one in maps:
        yield f"{one.session_id}  {one.verdict}: {one.reason}"
        if one.mend:
            yield f"  Mend: {one.mend}"
        if one.offset_s is not None:
            told = (one.offset_s, one.drift_ppm or 0.0, one.residual_s or 0.0, one.margin or 0.0)
            yield "  " + _clock(*told)
        for step in one.steps:
            size_s = float(step["size_s"])
            yield f"  the sensor's clock jumped by {size_s:+.2f} s at {step['at_utc']}"
        yield (
            f"  {one.n_pairs} of {one.n_shots} shots paired, {one.n_rehearsals} rehearsals, "
            f"{one.n_swings} swings"
        )
        yield from _counted(one.unpaired, "shots")
        yield from _counted(one.other, "swings")


def _clock(offset_s: float, drift_ppm: float, residual_s: float, margin: float) -> str:
    return (
        f"clock: sensor {offset_s:+.2f} s against the launch device, drift {drift_ppm:+.0f} ppm, "
        f"residual {residual_s:.2f} s, margin {margin:.0f} nats"
    )


def _reasons(whys: Sequence[str], what: str) -> Iterator[str]:
    yield from _counted(Counter(whys), what)


def _counted(counts: Mapping[str, int], what: str) -> Iterator[str]:
    for why, count in sorted(counts.items(), key=lambda item: -item[1]):
        yield f"  {count} {what}: {why}"
