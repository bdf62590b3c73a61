"""Set-up notes in sentences: what was seen in each block, and against the block before."""

from collections.abc import Iterator
from math import isfinite

from analytics.setup_blocks import BlockMeasure, SetupBlock
from analytics.setup_notes import SetupNotes
from api.wording import Wording


def setup_lines(notes: SetupNotes, say: Wording) -> Iterator[str]:
    """Every block of every noted day."""
    if not notes.blocks:
        yield say.text("setup.none")
        return
    yield say.text("setup.heading")
    for block in notes.blocks:
        yield from _block_lines(block, notes.days[block.session], say)


def _block_lines(block: SetupBlock, day: str, say: Wording) -> Iterator[str]:
    yield say.text(
        "setup.block",
        day=day,
        first=block.first,
        last=block.last,
        tags="; ".join(block.tags) or "–",
    )
    for measure in block.measures:
        name = say.text(f"setup.{measure.name}")
        for key, estimate in (("measure", measure.mean), ("against", measure.against_before)):
            if estimate is None or not isfinite(estimate.se):
                continue
            value, low, high = (
                _amount(measure, v, say) for v in (estimate.value, estimate.low, estimate.high)
            )
            yield say.text(
                f"setup.{key}", name=name, value=value, low=low, high=high, n=estimate.n_shots
            )


def _amount(measure: BlockMeasure, value: float, say: Wording) -> str:
    if measure.name.endswith("_m"):
        return say.length(value)
    return say.degrees(value) if measure.name.endswith("_deg") else say.number(value, 3)
