"""Corrections of a player's rows: new entries with who and why, never changes in place."""

from datetime import datetime
from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Response
from pydantic import Field

from analytics.edit_list import Edit, edit_list
from api.corrections import record
from api.deps import Asker, AsOf, CallerOf, Needs, OnePlayer, ServiceOf
from api.errors import Problem
from api.idempotency import WriteRoute
from api.known_query import only_known
from api.models import Body, Stamped
from ingest.players import load_player

router = APIRouter(
    prefix="/v1/players/{player_id}",
    tags=["edits"],
    route_class=WriteRoute,
    dependencies=[Depends(Needs("read:rows")), Depends(only_known)],
)

Text = r"^[^\x00-\x1f\x7f]*$"


class NewEdit(Body):
    """A correction of some rows."""

    action: Annotated[
        Literal[
            "mishit",
            "clean",
            "exclude",
            "include",
            "club",
            "swing_length",
            "surface",
            "move_player",
        ],
        Field(description="What is corrected.", examples=["mishit"]),
    ]
    target: Annotated[
        Literal["shots", "swings", "marks", "scores"],
        Field(description="Table of the rows.", examples=["shots"]),
    ] = "shots"
    event_ids: Annotated[
        list[Annotated[str, Field(pattern=r"^[0-9a-f]{8,64}$")]],
        Field(
            min_length=1, max_length=500, description="The rows.", examples=[["30fc8151f5a3e357"]]
        ),
    ]
    value: Annotated[
        str | None,
        Field(
            max_length=80,
            pattern=Text,
            description="The new club or swing length, or the id of the player to move to.",
            examples=[None],
        ),
    ] = None
    reason: Annotated[
        str | None,
        Field(max_length=200, pattern=Text, description="Why.", examples=["hit the ground first"]),
    ] = None


class EditBody(Body):
    """One correction."""

    edit_id: Annotated[str, Field(description="Identity.", examples=["0123456789abcdef"])]
    edited_at_utc: Annotated[
        datetime, Field(description="When, UTC.", examples=["2026-05-04T17:30:00Z"])
    ]
    edited_by: Annotated[str, Field(description="Who.", examples=["coach"])]
    reason: Annotated[str | None, Field(description="Why.", examples=["hit the ground first"])]
    action: Annotated[str, Field(description="What is corrected.", examples=["mishit"])]
    target: Annotated[str, Field(description="Table of the row.", examples=["shots"])]
    target_id: Annotated[str, Field(description="The row.", examples=["30fc8151f5a3e357"])]
    value: Annotated[str | None, Field(description="New value.", examples=[None])]
    import_id: Annotated[
        str,
        Field(
            description="Entry that holds it; undo that to take it back.",
            examples=["591d880124be3818532b00f5ab47a599"],
        ),
    ]

    @classmethod
    def of(cls, edit: Edit) -> "EditBody":
        """The body for one correction."""
        return cls.model_validate({name: getattr(edit, name) for name in cls.model_fields})


class EditsBody(Stamped):
    """A player's corrections, oldest first."""

    items: Annotated[list[EditBody], Field(description="The corrections.")]


class RecordedBody(Body):
    """Where a correction stands."""

    import_ids: Annotated[
        list[str],
        Field(
            description="Entries that hold it; undo them to take it back.",
            examples=[["591d880124be3818532b00f5ab47a599"]],
        ),
    ]


@router.get("/edits", summary="Corrections")
async def edits_of(player: OnePlayer, ask: Asker, as_of: AsOf) -> EditsBody:
    """Every standing correction: who, when, why, and what of which row."""
    found = await ask(edit_list)
    items = [EditBody.of(edit) for edit in found]
    return EditsBody(player_id=player.player_id, as_of=as_of, items=items)


@router.post(
    "/edits", summary="Correct rows", status_code=201, dependencies=[Depends(Needs("import"))]
)
async def post_edit(
    player: OnePlayer, wanted: NewEdit, service: ServiceOf, caller: CallerOf, response: Response
) -> RecordedBody:
    """Mark, leave out, rename or move rows. The rows as measured stay; undo takes it back."""
    _check_value(service, caller, wanted)
    store = service.settings.store
    recorded = await service.runner.run(
        record,
        store,
        load_player(store, player.player_id),
        wanted.action,
        wanted.event_ids,
        by=caller.key_id,
        target=wanted.target,
        value=wanted.value,
        why=wanted.reason,
    )
    touched = [player.player_id]
    if wanted.action == "move_player" and wanted.value:
        touched.append(wanted.value)
    for player_id in touched:
        await service.changed(player_id)
    response.headers["Location"] = f"/v1/imports/{recorded['import_ids'][-1]}"
    return RecordedBody(import_ids=recorded["import_ids"])


def _check_value(service: ServiceOf, caller: CallerOf, wanted: NewEdit) -> None:
    """A new value where one is needed; a move only to a player who exists for the caller."""
    if wanted.action == "move_player":
        service.visible(caller, wanted.value or "")
    elif wanted.action in {"club", "swing_length", "surface"} and not wanted.value:
        raise Problem(409, "value_missing", f"{wanted.action} needs a value.", "Send `value`.")
