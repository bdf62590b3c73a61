"""Bodies that the short-game resources share: a batch kept, a chance with its interval."""

from datetime import datetime
from typing import Annotated, Literal

from pydantic import Field

from analytics.shot_plan import Chance
from api.entries import Entered
from api.models import Body, PlayerId
from api.player_cards import PlayerCard
from ingest.players import Player

EntryId = Annotated[
    str,
    Field(
        min_length=4,
        max_length=80,
        pattern=r"^[A-Za-z0-9_.:/-]+$",
        description="Id made by the sender; sent again it changes nothing twice.",
        examples=["phone-7f3a-0007"],
    ),
]
At = Annotated[
    datetime,
    Field(description="When, with an offset (RFC 3339).", examples=["2026-05-04T17:30:00Z"]),
]
State = Annotated[
    Literal["clear", "leaning", "too_early"],
    Field(description="How far it can be relied on.", examples=["leaning"]),
]


class KeptBody(Body):
    """A batch of entries in the store."""

    player_id: PlayerId
    import_id: Annotated[
        str,
        Field(description="Its import; undo takes it back.", examples=["0123456789abcdef" * 2]),
    ]
    new: Annotated[bool, Field(description="False when it was there already.", examples=[True])]
    n_entries: Annotated[int, Field(ge=0, description="Entries of the batch.", examples=[20])]

    @classmethod
    def of(cls, entered: Entered) -> "KeptBody":
        """The body for a batch."""
        return cls(
            player_id=entered.player.player_id,
            import_id=entered.import_id,
            new=entered.new,
            n_entries=len(entered.rows),
        )


class ChanceBody(Body):
    """A probability with its 90 % interval."""

    value: Annotated[float, Field(ge=0, le=1, description="Chance, 0 to 1.", examples=[0.31])]
    low: Annotated[float, Field(ge=0, le=1, description="Lower end.", examples=[0.22])]
    high: Annotated[float, Field(ge=0, le=1, description="Upper end.", examples=[0.41])]

    @classmethod
    def of(cls, chance: Chance) -> "ChanceBody":
        """The body for a chance."""
        return cls(value=chance.value, low=chance.low, high=chance.high)


def player_of(card: PlayerCard) -> Player:
    """The player of a card, as entering by hand takes it."""
    return Player(
        player_id=card.player_id,
        display_name=card.display_name,
        handedness="left" if card.handedness == "left" else "right",
        age_band="junior" if card.age_band == "junior" else "adult",
        guardian_consent=card.guardian_consent,
        zone=card.zone,
        coach=card.coach or None,
    )
