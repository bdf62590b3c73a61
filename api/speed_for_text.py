"""What a carry needs, as lines of text."""

from collections.abc import Iterator, Sequence

from analytics.speed_for import Need
from api.curve_text import span, state_words
from api.reader_units import ReaderUnits


def need_lines(needs: Sequence[Need], units: ReaderUnits) -> Iterator[str]:
    """One line per club: speed with interval, where balls land, nearest swing length."""
    for need in needs:
        if need.speed is None or need.one_shot is None:
            yield f"{need.club}: not from this club. {need.refused}"
            continue
        speed, low, high = (
            units.of_mps(value or 0.0)
            for value in (need.speed.value, need.speed.low, need.speed.high)
        )
        line = (
            f"{need.club}: {speed:.1f} {units.speed} ({low:.1f} to {high:.1f}); "
            f"one clean ball lands {span(need.one_shot, units)} {units.length}"
        )
        if need.with_mishits is not None:
            line += f", any ball {span(need.with_mishits, units)} {units.length}"
        if need.swing_length and need.usual_carry and need.usual_carry.value:
            usual = units.of_metres(need.usual_carry.value)
            line += f"; nearest swing length {need.swing_length} ({usual:.1f} {units.length})"
        yield f"{line} [{state_words(need.speed.state, need.speed.need)}]"
