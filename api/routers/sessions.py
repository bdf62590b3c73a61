"""Sessions of a player: the days of practice, with their balls and conditions."""

from datetime import date, datetime
from typing import Annotated

from pydantic import Field

from analytics.session_list import Session, session_list
from api.answering import player_router
from api.deps import Asker, AsOf, OnePlayer
from api.models import Body, Stamped

router = player_router("sessions")


class SessionBody(Body):
    """One day of practice; conditions are null where nobody noted them."""

    session_id: Annotated[str, Field(description="Identity.", examples=["q3fk82:2025-10-29"])]
    day: Annotated[date | None, Field(description="Local day.", examples=["2026-05-04"])]
    n_shots: Annotated[int, Field(ge=0, description="Balls struck.", examples=[48])]
    n_mishits_by_coach: Annotated[
        int, Field(ge=0, description="Balls the coach marked as mishits.", examples=[2])
    ]
    clubs: Annotated[list[str], Field(description="Kinds of club used.", examples=[["PW", "SW"]])]
    first_at_utc: Annotated[
        datetime | None, Field(description="First ball, UTC.", examples=["2026-05-04T17:00:00Z"])
    ]
    last_at_utc: Annotated[
        datetime | None, Field(description="Last ball, UTC.", examples=["2026-05-04T18:10:00Z"])
    ]
    place: Annotated[str | None, Field(description="Where.", examples=["Practice green"])]
    green_speed_ft: Annotated[
        float | None, Field(description="Green speed as rolled out, ft.", examples=[9.5])
    ]
    slope_deg: Annotated[float | None, Field(description="Slope, degrees.", examples=[1.2])]
    fall_line_deg: Annotated[
        float | None, Field(description="Direction of the fall line, degrees.", examples=[180])
    ]
    surface: Annotated[
        str | None,
        Field(description="What balls were struck from, if stated for the day.", examples=["mat"]),
    ] = None
    wetness: Annotated[str | None, Field(description="dry, damp or wet.", examples=["dry"])]
    window_near_m: Annotated[
        float | None, Field(description="Near end of the landing window, m.", examples=[6.6])
    ]
    window_far_m: Annotated[
        float | None, Field(description="Far end of the landing window, m.", examples=[8.1])
    ]
    edge_m: Annotated[float | None, Field(description="Ball to the edge, m.", examples=[5.0])]
    hole_m: Annotated[float | None, Field(description="Ball to the hole, m.", examples=[14.0])]

    @classmethod
    def of(cls, session: Session) -> "SessionBody":
        """The body for one session."""
        told = {name: getattr(session, name) for name in cls.model_fields}
        return cls.model_validate(told | {"clubs": list(session.clubs)})


class SessionsBody(Stamped):
    """A player's sessions, oldest first."""

    sessions: Annotated[list[SessionBody], Field(description="The days of practice.")]


@router.get("/sessions", summary="Days of practice")
async def sessions_of(player: OnePlayer, ask: Asker, as_of: AsOf) -> SessionsBody:
    """Each day with its balls, clubs and the conditions somebody noted."""
    found = await ask(session_list)
    bodies = [SessionBody.of(session) for session in found]
    return SessionsBody(player_id=player.player_id, as_of=as_of, sessions=bodies)
