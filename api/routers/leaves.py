"""Where chips finish around the hole; and marks sent in, by ball number."""

from typing import Annotated, Literal

from fastapi import APIRouter, Query
from pydantic import Field

from analytics.leave import LeaveSummary, ZoneShare
from analytics.leaves import leaves
from api.answering import plain_router, player_router
from api.deps import Asker, AsOf, OnePlayer, ServiceOf
from api.entries import enter_marks
from api.mark_entry import MarkSaid
from api.models import Body, Stamped
from api.short_game_bodies import At, EntryId, KeptBody, State, player_of

answers = player_router("leaves")
entries = plain_router("/players/{player_id}/marks", "leaves", "import")

Said = Annotated[
    str | None,
    Field(
        max_length=40,
        description="A length as people say it: 3 ft 4 in, 1.02 m, 4 paces.",
        examples=["3 ft 4 in"],
    ),
]
SignedSaid = Annotated[
    str | None,
    Field(
        max_length=40,
        description="A length with a sign or a word: -2 ft, 2 ft short, 1 ft left.",
        examples=["2 ft"],
    ),
]


class ShareBody(Body):
    """One share of finishes beside the share luck alone gives."""

    name: Annotated[str, Field(description="Which finishes.", examples=["within 6 ft"])]
    value: Annotated[float | None, Field(description="Share, 0 to 1.", examples=[0.45])]
    low: Annotated[float, Field(description="Lower end, 90 %.", examples=[0.36])]
    high: Annotated[float, Field(description="Upper end, 90 %.", examples=[0.55])]
    by_chance: Annotated[
        float | None,
        Field(description="Share by luck alone; null where luck gives none.", examples=[0.333]),
    ]
    state: State
    need: Annotated[str, Field(description="What lacks.", examples=["8 of 20 shots"])]

    @classmethod
    def of(cls, one: ZoneShare) -> "ShareBody":
        """The body for a share."""
        return cls(**{name: getattr(one, name) for name in cls.model_fields})


class FinishesBody(Body):
    """A set of finishes."""

    n_shots: Annotated[int, Field(ge=1, description="Finishes.", examples=[40])]
    n_sessions: Annotated[int, Field(ge=0, description="Days.", examples=[4])]
    n_holed: Annotated[int, Field(ge=0, description="Chips holed.", examples=[1])]
    median_leave_m: Annotated[float, Field(ge=0, description="Median leave, m.", examples=[1.4])]
    shares: Annotated[list[ShareBody], Field(description="Zones, each with its chance line.")]
    mean_bearing_deg: Annotated[
        float | None,
        Field(description="Mean direction from straight below, clockwise.", examples=[12.0]),
    ]
    resultant_length: Annotated[
        float, Field(ge=0, le=1, description="1: all one way, 0: all round.", examples=[0.6])
    ]
    p_even: Annotated[
        float,
        Field(ge=0, le=1, description="Chance of that if all were alike.", examples=[0.01]),
    ]
    expected_putts: Annotated[float, Field(ge=0, description="Mean putts.", examples=[1.3])]
    up_and_down: Annotated[
        float, Field(ge=0, le=1, description="Share with one putt or none.", examples=[0.62])
    ]

    @classmethod
    def of(cls, one: LeaveSummary | None) -> "FinishesBody | None":
        """The body for a summary; null for none."""
        if one is None:
            return None
        return cls(
            n_shots=one.n_shots,
            n_sessions=one.n_sessions,
            n_holed=one.n_holed,
            median_leave_m=one.median_leave_m,
            shares=[ShareBody.of(share) for share in one.shares],
            mean_bearing_deg=one.bearing.mean_deg,
            resultant_length=min(one.bearing.length, 1.0),
            p_even=one.bearing.p_even,
            expected_putts=one.expected_putts,
            up_and_down=one.up_and_down,
        )


class LeavesBody(Stamped):
    """Finishes of a player, wet greens apart."""

    dry: Annotated[FinishesBody | None, Field(description="Dry and damp greens.")]
    wet: Annotated[FinishesBody | None, Field(description="Wet greens.")]
    by_club: Annotated[dict[str, FinishesBody], Field(description="Dry finishes by club.")]
    putting: Annotated[
        str, Field(description="Whose putting the costs are by.", examples=["tour professionals"])
    ]


@answers.get("/leaves", summary="Where chips finish")
async def get_leaves(
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    club: Annotated[
        str | None,
        Query(description="Only this club.", pattern=r"^[A-Z0-9]{1,3}$", examples=["SW"]),
    ] = None,
) -> LeavesBody:
    """Shares below the hole, near it and in the leave zone, each beside the chance line."""
    told = await ask(leaves, player.player_id, club)
    by_club = {name: FinishesBody.of(one) for name, one in told.by_club.items()}
    return LeavesBody(
        player_id=player.player_id,
        as_of=as_of,
        dry=FinishesBody.of(told.dry),
        wet=FinishesBody.of(told.wet),
        by_club={name: one for name, one in by_club.items() if one is not None},
        putting=told.putting.model.label,
    )


class MarkBody(Body):
    """Where one ball landed and finished, as said at the green."""

    entry_id: EntryId
    at_utc: At
    ball_number: Annotated[
        int | None, Field(ge=0, le=2000, description="Ball of the session.", examples=[7])
    ] = None
    holed: Annotated[bool, Field(description="The ball went in.", examples=[False])] = False
    leave: Said = None
    clock: Annotated[
        float | None,
        Field(ge=0, le=12, description="Clock hour; 6 is straight below.", examples=[5]),
    ] = None
    bearing_deg: Annotated[
        float | None,
        Field(
            ge=0,
            le=360,
            description="From straight below, clockwise; instead of the clock.",
            examples=[None],
        ),
    ] = None
    past_hole: Annotated[SignedSaid, Field(examples=[None])] = None
    right_of_hole: Annotated[SignedSaid, Field(examples=[None])] = None
    fall_line_deg: Annotated[
        float | None,
        Field(ge=0, le=360, description="Fall line against the line of play.", examples=[90]),
    ] = None
    tape_to_hole: Annotated[Said, Field(examples=[None])] = None
    tape_to_peg: Annotated[Said, Field(examples=[None])] = None
    peg_below: Annotated[
        str, Field(max_length=40, description="Peg below the hole.", examples=["6 ft"])
    ] = "6 ft"
    peg_side: Annotated[
        Literal["left", "right"] | None,
        Field(description="Side of the ball looking down the slope.", examples=["left"]),
    ] = None
    landed_past_edge: SignedSaid = None
    landed_right: SignedSaid = None
    note: Annotated[
        str | None, Field(max_length=500, description="Anything else.", examples=["windy"])
    ] = None


class MarksBody(Body):
    """Marks of one batch; one that cannot be refuses the whole batch, by its ball."""

    marks: Annotated[list[MarkBody], Field(min_length=1, max_length=200, description="The marks.")]
    pace_walks: Annotated[
        str | None,
        Field(
            max_length=200,
            description="The measuring person's counted walks, for lengths in paces.",
            examples=["20 m: 25 26 25"],
        ),
    ] = None


@entries.post("", summary="Send marks", status_code=201)
async def post_marks(player: OnePlayer, sent: MarksBody, service: ServiceOf) -> KeptBody:
    """Keep marks made at the green, whenever they arrive; sent twice they are stored once."""
    marks = [MarkSaid(**mark.model_dump()) for mark in sent.marks]
    store, who = service.settings.store, player_of(player)
    return KeptBody.of(await service.runner.run(enter_marks, store, who, marks, sent.pace_walks))


router = APIRouter()
router.routes.extend([*answers.routes, *entries.routes])
