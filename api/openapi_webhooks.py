"""What a webhook is sent, as the description says it (OpenAPI's `webhooks`)."""

from typing import Annotated, Any, get_args

from pydantic import Field

from api.changes import ChangeType
from api.models import Body, PlayerId

Json = dict[str, Any]  # a JSON document

MEANS = {
    "profile.changed": "Something the player's answers rest on changed: ask for them anew.",
    "import.finished": "An export, or an entry by hand, came in.",
    "import.undone": "An import was taken back.",
    "player.added": "There is a new player.",
    "player.withdrawn": "A consent was withdrawn: remove your copy of the player.",
    "player.erased": "The player was erased: remove your copy.",
}


class WebhookData(Body):
    """What changed."""

    seq: Annotated[
        int,
        Field(
            description="Cursor of the change. Messages may arrive out of order: sort by it.",
            examples=[190],
        ),
    ]
    player_id: PlayerId
    import_id: Annotated[
        str | None,
        Field(
            description="The import, where there is one.",
            examples=["f0350876ed46a72c09019872d3945636"],
        ),
    ]


class WebhookMessage(Body):
    """One message to a webhook."""

    type: Annotated[ChangeType, Field(description="What happened.", examples=["import.finished"])]
    timestamp: Annotated[
        str, Field(description="When, UTC.", examples=["2026-05-04T17:30:00+00:00"])
    ]
    data: Annotated[WebhookData, Field(description="What changed.")]


SIGNED = (
    ("webhook-id", "Identity of the message, the same over retries.", "msg_w0123456789ab_190"),
    ("webhook-timestamp", "Seconds since 1970: refuse what is minutes old.", "1777915800"),
    (
        "webhook-signature",
        "`v1,` and the base64 of HMAC-SHA-256 over `{webhook-id}.{webhook-timestamp}.{body}`; its "
        "key is what the secret holds after `whsec_`, decoded from base64.",
        "v1,yfBLc766Wp1dGUNuo9fJnlJwViZ957FDvkAihLAe0v4=",
    ),
)


def webhook_schemas() -> Json:
    """The schemas of the messages."""
    schema = WebhookMessage.model_json_schema(ref_template="#/components/schemas/{model}")
    parts: Json = schema.pop("$defs")
    return parts | {"WebhookMessage": schema}


def webhooks() -> Json:
    """The `webhooks` of the description: a message for each kind of change."""
    return {kind: {"post": _message(kind)} for kind in get_args(ChangeType)}


def _message(kind: str) -> Json:
    example = {
        "type": kind,
        "timestamp": "2026-05-04T17:30:00+00:00",
        "data": {"seq": 190, "player_id": "q3fk82", "import_id": None},
    }
    schema = {"$ref": "#/components/schemas/WebhookMessage"}
    return {
        "summary": MEANS[kind].partition(":")[0].rstrip("."),
        "description": f"{MEANS[kind]} Any 2xx within 10 s takes the message, 410 ends the "
        "webhook, anything else is retried for about a day.",
        "parameters": [
            {
                "name": name,
                "in": "header",
                "required": True,
                "description": text,
                "schema": {"type": "string"},
                "example": value,
            }
            for name, text, value in SIGNED
        ],
        "requestBody": {
            "required": True,
            "content": {"application/json": {"schema": schema, "example": example}},
        },
        "responses": {"204": {"description": "Taken."}, "410": {"description": "No more."}},
    }
