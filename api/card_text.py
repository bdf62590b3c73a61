"""The speed card in sentences: three swings to feel."""

from collections.abc import Iterator

from analytics.speed_card import SpeedCard, SwingToFeel
from api.wording import Wording


def card_lines(card: SpeedCard, say: Wording) -> Iterator[str]:
    """Long, short, shot: carry, speed with its interval, swing length, what a rehearsal reads."""
    yield say.text("card.heading", carry=say.length(card.target_m), club=card.club)
    for swing in (card.long, card.short, card.shot):
        yield _line(swing, say)
    if not card.from_own_repeatability:
        yield say.text("card.usual")


def _line(swing: SwingToFeel, say: Wording) -> str:
    reads = swing.rehearsal_speed_mps
    return say.text(
        "card.line",
        name=say.text(f"card.{swing.name}"),
        carry=say.length(swing.carry_m),
        speed=say.speed(swing.speed_mps.value),
        low=say.speed(swing.speed_mps.low),
        high=say.speed(swing.speed_mps.high),
        length=say.text("card.length", swing_length=swing.swing_length)
        if swing.swing_length
        else "",
        reads="" if reads is None else say.text("card.reads", speed=say.speed(reads)),
    )
