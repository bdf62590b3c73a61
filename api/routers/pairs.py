"""How each session's launch log and swing log were brought together, and what stayed unpaired.

What the logs cannot tell a person can: the clock's offset (one of those listed, or another), a ball
and its swing, a swing that was not that ball's, and what a swing was. The rest is paired around it.
"""

from dataclasses import asdict
from datetime import datetime
from typing import Annotated, Literal

from fastapi import APIRouter, Request, Response
from pydantic import Field

from api.answering import plain_router, player_router
from api.deps import AsOf, CallerOf, OnePlayer, ServiceOf
from api.models import Body, Stamped
from api.pair_by_hand import SettledPairing, settle
from api.pair_player import SessionMap, pair_player
from api.service import Service, service_of

answers = player_router("pairs", scope="read:rows")

entries = plain_router("/players/{player_id}/pairs", "pairs", "import")

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
        str, Field(description="Day of practice.", examples=["q3fk82:2025-10-29"])
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
        list[float],
        Field(
            description="Other offsets considered, s; while nothing is settled, all of them, the "
            "likeliest first.",
            examples=[[12.5]],
        ),
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


@answers.get("/pairs", summary="Clock map and pairing of every session")
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


EventId = Annotated[str, Field(pattern=r"^[0-9a-f]{8,64}$")]


class NewOffset(Body):
    """The offset of a session's clocks, set or chosen by a person."""

    session_id: Annotated[
        str,
        Field(
            pattern=r"^[a-z][a-z0-9]{3,31}:[0-9a-f-]{8,64}$",
            description="Day of practice.",
            examples=["q3fk82:2025-10-29"],
        ),
    ]
    offset_s: Annotated[
        float,
        Field(
            ge=-4e9,
            le=4e9,
            description="Sensor clock minus launch clock, s, right to about 5 s: one of "
            "`rival_offsets_s`, or another.",
            examples=[3680],
        ),
    ]


class NewPair(Body):
    """A ball and a swing."""

    shot_event_id: Annotated[EventId, Field(description="The ball.", examples=["30fc8151f5a3e357"])]
    swing_event_id: Annotated[
        EventId, Field(description="The swing.", examples=["f99dfff7af8c9392"])
    ]


class NewRole(Body):
    """What a swing was that struck no ball."""

    swing_event_id: Annotated[
        EventId, Field(description="The swing.", examples=["0cb77e95117ff3ee"])
    ]
    role: Annotated[
        Literal["rehearse_long", "rehearse_short", "rehearse", "warm_up", "other"],
        Field(description="What it was.", examples=["rehearse_long"]),
    ]
    shot_event_id: Annotated[
        EventId | None,
        Field(description="The ball it rehearsed; without it, the next one.", examples=[None]),
    ] = None


class SettledBody(Body):
    """Where a settlement stands and what it changed."""

    import_id: Annotated[
        str,
        Field(
            description="Entry that holds it; undo takes it back.",
            examples=["591d880124be3818532b00f5ab47a599"],
        ),
    ]
    sessions: Annotated[list[SessionPairingBody], Field(description="Sessions paired anew.")]


async def _settle(
    service: Service, caller: CallerOf, player: OnePlayer, said: tuple[str, str, str],
    response: Response,
) -> SettledBody:  # fmt: skip
    store = service.settings.store
    done: SettledPairing = await service.runner.run(
        settle, store, player.player_id, *said, by=caller.key_id
    )
    await service.changed(player.player_id)
    response.headers["Location"] = f"/v1/imports/{done.import_id}"
    sessions = [SessionPairingBody.model_validate(_shown(one)) for one in done.sessions]
    return SettledBody(import_id=done.import_id, sessions=sessions)


@entries.post("/offset", summary="Set a session's clock offset", status_code=201)
async def post_offset(
    player: OnePlayer, wanted: NewOffset, service: ServiceOf, caller: CallerOf, response: Response
) -> SettledBody:
    """Choose between offsets that explain the logs equally well, or give another."""
    said = ("clock_offset", wanted.session_id, str(wanted.offset_s))
    return await _settle(service, caller, player, said, response)


@entries.post("/pins", summary="Pair a ball with its swing", status_code=201)
async def post_pin(
    player: OnePlayer, wanted: NewPair, service: ServiceOf, caller: CallerOf, response: Response
) -> SettledBody:
    """These belong together; one pair settles a whole session. The newest word stands."""
    said = ("pin_pair", wanted.shot_event_id, wanted.swing_event_id)
    return await _settle(service, caller, player, said, response)


@entries.post("/forbids", summary="Part a ball from a swing", status_code=201)
async def post_forbid(
    player: OnePlayer, wanted: NewPair, service: ServiceOf, caller: CallerOf, response: Response
) -> SettledBody:
    """These do not belong together; the rest is paired around it."""
    said = ("forbid_pair", wanted.shot_event_id, wanted.swing_event_id)
    return await _settle(service, caller, player, said, response)


@entries.post("/roles", summary="Say what a swing was", status_code=201)
async def post_role(
    player: OnePlayer, wanted: NewRole, service: ServiceOf, caller: CallerOf, response: Response
) -> SettledBody:
    """A swing that struck no ball: a rehearsal, a warm-up or something else."""
    value = wanted.role + (f"={wanted.shot_event_id}" if wanted.shot_event_id else "")
    return await _settle(service, caller, player, ("role", wanted.swing_event_id, value), response)


router = APIRouter()
router.routes.extend([*answers.routes, *entries.routes])
