"""Keys for other apps: made, listed, revoked. The key itself is shown once, when it is made."""

from typing import Annotated

from fastapi import Path, Request, Response
from pydantic import Field

from api.access import Caller, Scope
from api.answering import plain_router
from api.deps import CallerOf, ServiceOf
from api.errors import Problem, not_found
from api.idempotency import forget_resource
from api.keys import KeyRecord, create_key, get_key, list_keys, revoke_key
from api.models import Body, Instant, PlayerId
from api.service import Service

router = plain_router("/keys", "keys", "manage")

KeyId = Annotated[
    str,
    Path(pattern=r"^k[0-9a-f]{12}$", description="Public id of a key.", examples=["k0123456789ab"]),
]
Name = Annotated[
    str,
    Field(
        min_length=1,
        max_length=80,
        pattern=r"^[^\x00-\x1f\x7f]*$",
        description="What the key is for.",
        examples=["Practice diary"],
    ),
]


class NewKey(Body):
    """A key to be made."""

    name: Name
    scopes: Annotated[
        list[Scope],
        Field(
            min_length=1, max_length=4, description="What it may do.", examples=[["read:profiles"]]
        ),
    ]
    players: Annotated[
        list[PlayerId] | None,
        Field(max_length=500, description="Only these players; null: all of the coach's."),
    ] = None
    expires_at: Annotated[
        Instant | None,
        Field(
            description="When it ends (RFC 3339 with an offset).", examples=["2036-01-01T00:00:00Z"]
        ),
    ] = None


class KeyBody(Body):
    """One key, without the key itself."""

    key_id: Annotated[str, Field(description="Public id.", examples=["k0123456789ab"])]
    name: Annotated[str, Field(description="What it is for.", examples=["Practice diary"])]
    coach: Annotated[str, Field(description="Whose players it sees; empty: all.", examples=[""])]
    scopes: Annotated[list[str], Field(description="What it may do.", examples=[["read:profiles"]])]
    players: Annotated[
        list[str] | None, Field(description="Only these players.", examples=[["q3fk82"]])
    ]
    created_at: Annotated[str, Field(description="UTC.", examples=["2026-05-04T17:30:00+00:00"])]
    expires_at: Annotated[str | None, Field(description="UTC.", examples=[None])]
    revoked_at: Annotated[str | None, Field(description="UTC.", examples=[None])]

    @classmethod
    def of(cls, record: KeyRecord) -> "KeyBody":
        """The body for one record."""
        return cls.model_validate(record, from_attributes=True)


class MadeKey(KeyBody):
    """A key just made."""

    key: Annotated[str, Field(description="The key: shown this once.", examples=["cb_…"])]


class KeysBody(Body):
    """Every key the caller may see."""

    items: Annotated[list[KeyBody], Field(description="The keys, oldest first.")]


@router.get("", summary="List keys")
async def get_keys(service: ServiceOf, caller: CallerOf) -> KeysBody:
    """The standing keys of the caller's own players."""
    records = [r for r in list_keys(service.state) if r.revoked_at is None and _governs(caller, r)]
    return KeysBody(items=[KeyBody.of(record) for record in records])


@router.post("", summary="Make a key", status_code=201)
async def post_key(
    wanted: NewKey, service: ServiceOf, caller: CallerOf, request: Request, response: Response
) -> MadeKey:
    """A new key, never stronger than the one that makes it."""
    _check_no_stronger(service, caller, wanted)
    players = wanted.players
    if players is None and caller.players is not None:
        players = sorted(caller.players)
    record, key = create_key(
        service.state,
        wanted.name,
        wanted.scopes,
        coach=caller.coach,
        players=players,
        expires_at=wanted.expires_at,
    )
    service.callers.reload()
    request.state.shown_once = True
    response.headers["Location"] = f"/v1/keys/{record.key_id}"
    response.headers["Cache-Control"] = "no-store"
    return MadeKey(**KeyBody.of(record).model_dump(), key=key)


@router.get("/{key_id}", summary="One key")
async def get_one(key_id: KeyId, service: ServiceOf, caller: CallerOf) -> KeyBody:
    """What a key may do."""
    return KeyBody.of(_governed(service, caller, key_id))


@router.delete("/{key_id}", summary="Revoke a key", status_code=204)
async def delete_key(key_id: KeyId, service: ServiceOf, caller: CallerOf) -> None:
    """End a key at once."""
    _governed(service, caller, key_id)
    if key_id == caller.key_id:
        mend = "Use another key, or `carrybook keys revoke`."
        raise Problem(409, "own_key", "A key does not revoke itself.", mend)
    revoke_key(service.state, key_id)
    service.callers.reload()
    forget_resource(service.state, f"/v1/keys/{key_id}")


def _governs(caller: Caller, record: KeyRecord) -> bool:
    if caller.coach and record.coach != caller.coach:
        return False
    if caller.players is None:
        return True
    return record.players is not None and set(record.players) <= caller.players


def _governed(service: Service, caller: Caller, key_id: str) -> KeyRecord:
    record = get_key(service.state, key_id)
    if record.revoked_at is not None or not _governs(caller, record):
        raise not_found("such key", "List the keys: GET /v1/keys.")
    return record


def _check_no_stronger(service: Service, caller: Caller, wanted: NewKey) -> None:
    missing = [scope for scope in wanted.scopes if not caller.may(scope)]
    if missing:
        mend = "Ask the coach to make this key."
        raise Problem(403, "scope_missing", f"This key lacks {', '.join(missing)} itself.", mend)
    for player_id in wanted.players or []:
        card = service.players.get(player_id)
        if card is None or not caller.sees(card):
            raise not_found(f"player {player_id}", "List the players: GET /v1/players.")
