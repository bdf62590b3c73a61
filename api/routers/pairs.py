"""How each session's launch log and swing log were brought together, and what stayed unpaired."""

from dataclasses import asdict
from datetime import datetime
from typing import Annotated, Literal

from fastapi import Request
from pydantic import Field

from api.answering import player_router
from api.deps import AsOf, OnePlayer
from api.models import Body, Stamped
from api.pair_player import SessionMap, pair_player
from api.service import service_of

router = player_router("pairs", scope="read:rows")

Reasons = Annotated[dict[str, int], Field(examples=[{"no swing where the clock map puts it": 1}])]


class ClockStep(Body):
    """A sudden change of the sensor's clock against the launch device's."""

    at_utc: Annotated[
        datetime,
        Field(description="First shot after it, launch clock.", examples=["2026-05-04T17:30:00Z"]),
    ]
    size_s: Annotated[float, Field(description="Change of the offset, s.", examples=[7.2])]


class SessionPairingBody(Body):
    """One session: verdict, clock map, counts, and reasons for what stayed alone."""

    session_id: Annotated[
        str, Field(description="Day of practice.", examples=["p7k2m9:2026-05-04"])
    ]
    verdict: Annotated[
        Literal["paired", "ambiguous", "cannot_pair"],
        Field(description="Whether the two logs could be brought together.", examples=["paired"]),
    ]
    reason: Annotated[
        str,
        Field(description="Why, in words.", examples=["The logs fit each other at one offset."]),
    ]
    mend: Annotated[str, Field(description="What would help; empty when paired.", examples=[""])]
    offset_s: Annotated[
        float | None,
        Field(
            description="Sensor clock minus launch clock at the first shot, s; a sensor that runs "
            "61 min 20 s ahead has +3680.",
            examples=[3680.4],
        ),
    ]
    drift_ppm: Annotated[
        float | None, Field(description="How fast the offset grows, 1e-6.", examples=[-69.3])
    ]
    steps: Annotated[list[ClockStep], Field(description="Where the offset changed suddenly.")]
    residual_s: Annotated[
        float | None,
        Field(ge=0, description="What the clock map leaves over, s RMS.", examples=[0.27]),
    ]
    margin: Annotated[
        float | None,
        Field(description="Evidence over the runner-up, nats.", examples=[155.8]),
    ]
    rival_offsets_s: Annotated[
        list[float], Field(description="Other offsets considered, s.", examples=[[12.5]])
    ]
    n_shots: Annotated[int, Field(ge=0, description="Balls of the session.", examples=[48])]
    n_swings: Annotated[int, Field(ge=0, description="Swings of the sensor.", examples=[135])]
    n_pairs: Annotated[int, Field(ge=0, description="Balls with their swing.", examples=[47])]
    n_rehearsals: Annotated[int, Field(ge=0, description="Rehearsal swings.", examples=[83])]
    unpaired: Annotated[Reasons, Field(description="Balls without a swing, by reason.")]
    other: Annotated[Reasons, Field(description="Swings of no ball, by reason.")]
    import_ids: Annotated[
        list[str], Field(description="Imports it was computed from.", examples=[["0" * 32]])
    ]
    fit_version: Annotated[str, Field(description="Version of the pairing.", examples=["1"])]


class PairingsBody(Stamped):
    """Every session of a player that has balls."""

    sessions: Annotated[list[SessionPairingBody], Field(description="Oldest first.")]


@router.get("/pairs", summary="Clock map and pairing of every session")
async def pairs_of(request: Request, player: OnePlayer, as_of: AsOf) -> PairingsBody:
    """The pairing as the store stands now; which row belongs to which is in the rows of `pairs`."""
    service = service_of(request)

    def work() -> list[SessionPairingBody]:
        found = pair_player(service.settings.store, player.player_id)
        return [SessionPairingBody.model_validate(_shown(one)) for one in found]

    return PairingsBody(
        player_id=player.player_id, as_of=as_of, sessions=await service.runner.run(work)
    )


def _shown(one: SessionMap) -> dict[str, object]:
    return {name: value for name, value in asdict(one).items() if name != "inputs"}
