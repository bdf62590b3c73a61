"""Conditions of a day of practice: the green, and where the landing window and the gate stood."""

from datetime import date
from typing import Annotated, Literal

from pydantic import Field

from api.answering import plain_router
from api.conditions_entry import both_rolls, conditions_row, enter_conditions
from api.deps import OnePlayer, ServiceOf
from api.models import Body
from api.short_game_bodies import EntryId, KeptBody, player_of

router = plain_router("/players/{player_id}/sessions", "sessions", "import")

Text = r"^[^\x00-\x1f\x7f]*$"


class ConditionsBody(Body):
    """What is noted of one day; what is left out stays as it was noted before."""

    entry_id: EntryId
    day: Annotated[date, Field(description="Local day of practice.", examples=["2026-05-04"])]
    place: Annotated[
        str | None,
        Field(max_length=80, pattern=Text, description="Where.", examples=["Practice green"]),
    ] = None
    green_speed_ft: Annotated[
        float | None, Field(ge=3, le=16, description="Stimpmeter, ft.", examples=[9.5])
    ] = None
    roll_up_ft: Annotated[
        float | None,
        Field(
            gt=0,
            le=60,
            description="Instead of a green speed: stimpmeter roll up a slope, ft.",
            examples=[None],
        ),
    ] = None
    roll_down_ft: Annotated[
        float | None,
        Field(gt=0, le=60, description="With roll_up_ft: roll down it, ft.", examples=[None]),
    ] = None
    slope_deg: Annotated[
        float | None,
        Field(ge=0, le=20, description="Slope of the green, degrees.", examples=[1.2]),
    ] = None
    fall_line_deg: Annotated[
        float | None,
        Field(
            ge=0,
            le=360,
            description="Fall line against the line of play, degrees; 0 is downhill along it.",
            examples=[180],
        ),
    ] = None
    wetness: Annotated[
        Literal["dry", "damp", "wet"] | None, Field(description="How wet.", examples=["dry"])
    ] = None
    window_near_m: Annotated[
        float | None,
        Field(ge=0, le=100, description="Ball to the near end of the window, m.", examples=[6.6]),
    ] = None
    window_far_m: Annotated[
        float | None,
        Field(ge=0, le=100, description="Ball to the far end of the window, m.", examples=[8.1]),
    ] = None
    gate_width_m: Annotated[
        float | None,
        Field(ge=0.05, le=5, description="Between the posts of the gate, m.", examples=[0.7]),
    ] = None
    gate_distance_m: Annotated[
        float | None, Field(ge=0.1, le=100, description="Ball to the gate, m.", examples=[3.5])
    ] = None
    edge_m: Annotated[
        float | None, Field(ge=0, le=100, description="Ball to the edge, m.", examples=[5.0])
    ] = None
    hole_m: Annotated[
        float | None, Field(ge=0, le=150, description="Ball to the hole, m.", examples=[14.0])
    ] = None
    lie_slope_deg: Annotated[
        float | None,
        Field(ge=-45, le=45, description="Slope of the lie, + uphill, degrees.", examples=[0]),
    ] = None
    ball: Annotated[
        str | None,
        Field(
            max_length=80,
            pattern=Text,
            description="The ball; where it changes, curves begin anew.",
            examples=[None],
        ),
    ] = None
    surface: Annotated[
        str | None,
        Field(
            max_length=40,
            pattern=Text,
            description="What balls were struck from: mat, grass, rough, sand, wet or a word of "
            "your own; balls off another surface make another curve.",
            examples=["mat"],
        ),
    ] = None
    note: Annotated[
        str | None,
        Field(max_length=500, pattern=Text, description="Anything else.", examples=["windy"]),
    ] = None


@router.post("", summary="Note a day's conditions", status_code=201)
async def post_conditions(player: OnePlayer, sent: ConditionsBody, service: ServiceOf) -> KeptBody:
    """Note the green, the landing window and the gate of a day; the newest word on each counts."""
    left_out = {"day", "entry_id", "roll_up_ft", "roll_down_ft"}
    given = sent.model_dump(exclude=left_out, exclude_none=True)
    row = conditions_row(given, both_rolls(sent.roll_up_ft, sent.roll_down_ft))
    store, who = service.settings.store, player_of(player)
    row = row | {"entry_id": sent.entry_id}
    return KeptBody.of(await service.runner.run(enter_conditions, store, who, sent.day, row))
