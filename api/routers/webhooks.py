"""Webhooks: addresses told of changes by signed messages (Standard Webhooks)."""

from typing import Annotated, Literal

from fastapi import Path, Request, Response
from pydantic import Field

from api.access import Caller
from api.answering import plain_router
from api.changes import ChangeType
from api.deps import CallerOf, ServiceOf
from api.errors import Problem, not_found
from api.idempotency import forget_resource
from api.models import WHOLE, Body
from api.paging import AfterNumber, Limit, link_next
from api.service import Service
from api.webhook_send import PUBLIC_URL, NotSendable, check_url
from api.webhooks import (
    Delivery,
    WebhookRecord,
    create_webhook,
    delete_webhook,
    deliveries_of,
    get_webhook,
    list_webhooks,
    replay,
)

router = plain_router("/webhooks", "webhooks", "manage")

WebhookId = Annotated[
    str,
    Path(pattern=r"^w[0-9a-f]{12}$", description="Id of a webhook.", examples=["w0123456789ab"]),
]
DEFAULT_EVENTS: list[ChangeType] = [
    "profile.changed",
    "import.finished",
    "player.erased",
    "player.withdrawn",
]


class NewWebhook(Body):
    """An address to be told."""

    url: Annotated[
        str,
        Field(
            min_length=9,
            max_length=500,
            description="Where to send; https, a public host.",
            json_schema_extra={"pattern": PUBLIC_URL},
            examples=["https://app.example/hooks/carrybook"],
        ),
    ]
    events: Annotated[
        list[ChangeType],
        Field(min_length=1, max_length=6, description="What to tell.", examples=[DEFAULT_EVENTS]),
    ] = DEFAULT_EVENTS


class WebhookBody(Body):
    """One webhook, without its secret."""

    webhook_id: Annotated[str, Field(description="Its id.", examples=["w0123456789ab"])]
    url: Annotated[str, Field(description="Where.", examples=["https://app.example/hooks"])]
    events: Annotated[list[str], Field(description="What.", examples=[["profile.changed"]])]
    created_at: Annotated[str, Field(description="UTC.", examples=["2026-05-04T17:30:00+00:00"])]
    told_until: Annotated[
        int, Field(description="Cursor of the last change queued.", examples=[18])
    ]
    disabled_at: Annotated[str | None, Field(description="UTC; after a 410.", examples=[None])]

    @classmethod
    def of(cls, record: WebhookRecord) -> "WebhookBody":
        """The body for one record."""
        return cls.model_validate({name: getattr(record, name) for name in cls.model_fields})


class MadeWebhook(WebhookBody):
    """A webhook just registered."""

    secret: Annotated[
        str, Field(description="Signs every message; shown this once.", examples=["whsec_…"])
    ]


class WebhooksBody(Body):
    """The webhooks of the caller's key."""

    items: Annotated[list[WebhookBody], Field(description="The webhooks.")]


class DeliveryBody(Body):
    """One message to one address."""

    delivery_id: Annotated[int, Field(description="Running number.", examples=[3])]
    seq: Annotated[int, Field(description="The change it tells.", examples=[18])]
    message_id: Annotated[
        str, Field(description="The same over retries.", examples=["msg_w0123456789ab_18"])
    ]
    attempts: Annotated[int, Field(description="How often it was tried.", examples=[1])]
    next_at: Annotated[str | None, Field(description="Next attempt, UTC.", examples=[None])]
    status: Annotated[
        Literal["waiting", "taken", "given_up"],
        Field(description="Where it is.", examples=["taken"]),
    ]
    last_answer: Annotated[
        str | None, Field(description="Status, or what failed.", examples=["200"])
    ]

    @classmethod
    def of(cls, delivery: Delivery) -> "DeliveryBody":
        """The body for one delivery."""
        return cls.model_validate({name: getattr(delivery, name) for name in cls.model_fields})


class DeliveriesBody(Body):
    """A page of deliveries, oldest first."""

    items: Annotated[list[DeliveryBody], Field(description="The deliveries.")]


class Replay(Body):
    """From where to tell again."""

    since: Annotated[int, Field(ge=0, le=2**53, description="A cursor.", examples=[0]), WHOLE]


@router.get("", summary="List webhooks")
async def get_webhooks(service: ServiceOf, caller: CallerOf) -> WebhooksBody:
    """The webhooks of this key; the owner sees all."""
    found = [w for w in list_webhooks(service.state) if _owns(caller, w)]
    return WebhooksBody(items=[WebhookBody.of(webhook) for webhook in found])


@router.post("", summary="Register a webhook", status_code=201)
async def post_webhook(
    wanted: NewWebhook, service: ServiceOf, caller: CallerOf, request: Request, response: Response
) -> MadeWebhook:
    """Tell this address of changes from now on; check `webhook-signature` with the secret."""
    try:
        check_url(wanted.url, private_hosts=service.settings.webhook_private_hosts)
    except NotSendable as error:
        mend = "Give an https address on a public host."
        raise Problem(422, "bad_webhook_url", f"The address will not do: {error}.", mend) from error
    service.changes.look()
    made, secret = create_webhook(
        service.state, caller, wanted.url, list(wanted.events), service.changes.last()
    )
    request.state.shown_once = True
    response.headers["Location"] = f"/v1/webhooks/{made.webhook_id}"
    response.headers["Cache-Control"] = "no-store"
    return MadeWebhook(**WebhookBody.of(made).model_dump(), secret=secret)


@router.get("/{webhook_id}", summary="One webhook")
async def get_one(webhook_id: WebhookId, service: ServiceOf, caller: CallerOf) -> WebhookBody:
    """Where it sends and what."""
    return WebhookBody.of(_owned(service, caller, webhook_id))


@router.delete("/{webhook_id}", summary="Remove a webhook", status_code=204)
async def delete_one(webhook_id: WebhookId, service: ServiceOf, caller: CallerOf) -> None:
    """Nothing is sent there any more."""
    _owned(service, caller, webhook_id)
    delete_webhook(service.state, webhook_id)
    forget_resource(service.state, f"/v1/webhooks/{webhook_id}")


@router.get("/{webhook_id}/deliveries", summary="Deliveries of a webhook")
async def get_deliveries(
    *,
    webhook_id: WebhookId,
    service: ServiceOf,
    caller: CallerOf,
    response: Response,
    after: AfterNumber = 0,
    limit: Limit = 100,
) -> DeliveriesBody:
    """What was sent, what waits, what was given up."""
    _owned(service, caller, webhook_id)
    found = deliveries_of(service.state, webhook_id, after, limit)
    if len(found) == limit:
        path = f"/v1/webhooks/{webhook_id}/deliveries"
        response.headers["Link"] = link_next(path, found[-1].delivery_id, limit)
    return DeliveriesBody(items=[DeliveryBody.of(delivery) for delivery in found])


@router.post("/{webhook_id}/replay", summary="Tell again", status_code=202)
async def post_replay(
    webhook_id: WebhookId, wanted: Replay, service: ServiceOf, caller: CallerOf
) -> WebhookBody:
    """Send everything after a cursor once more, under the same message ids."""
    _owned(service, caller, webhook_id)
    replay(service.state, webhook_id, wanted.since)
    return WebhookBody.of(get_webhook(service.state, webhook_id))


def _owns(caller: Caller, webhook: WebhookRecord) -> bool:
    return caller.owner or webhook.key_id == caller.key_id


def _owned(service: Service, caller: Caller, webhook_id: str) -> WebhookRecord:
    webhook = get_webhook(service.state, webhook_id)
    if not _owns(caller, webhook):
        raise not_found("such webhook", "List them: GET /v1/webhooks.")
    return webhook
