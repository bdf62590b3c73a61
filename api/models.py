"""Bodies that several resources share."""

import re
from datetime import UTC, datetime
from typing import Annotated, Literal, Self

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from analytics.answer import FIT_VERSION, Answer

RFC3339 = re.compile(r"\d{4}-\d\d-\d\d[Tt ]\d\d:\d\d:\d\d(\.\d+)?([Zz]|[+-]\d\d:\d\d)")


def _instant(given: object) -> object:
    """The instant of an RFC 3339 text in UTC, at the edge of the calendar if beyond it."""
    if isinstance(given, datetime):
        return given
    if not isinstance(given, str) or RFC3339.fullmatch(given) is None:
        raise ValueError(
            "write an instant with its offset, such as 2026-05-04T17:30:00Z"
            " (in an address a + is written %2B)"
        )
    local = datetime.fromisoformat(given.upper())
    try:
        return local.astimezone(UTC)
    except OverflowError:
        edge = datetime.min if local.year == 1 else datetime.max
        return edge.replace(tzinfo=UTC)


def _whole(given: object) -> object:
    if isinstance(given, bool | str):
        raise ValueError("write a whole number")
    return given


Instant = Annotated[datetime, BeforeValidator(_instant)]
"""An instant with its offset (RFC 3339), in UTC."""

WHOLE = BeforeValidator(_whole)
"""Beside the `Field` of an int in a JSON body: no text, no truth value."""

PlayerId = Annotated[str, Field(description="Opaque identity of a player.", examples=["q3fk82"])]


class Body(BaseModel):
    """A body of the service: what is not described is refused."""

    model_config = ConfigDict(extra="forbid")


class Stamped(Body):
    """What every answer says about itself as a whole."""

    player_id: PlayerId
    as_of: Annotated[
        datetime,
        Field(
            description="The store as it stood at this instant is what was asked, UTC.",
            examples=["2026-05-04T17:30:00Z"],
        ),
    ]
    fit_version: Annotated[
        str, Field(description="Version of the computations.", examples=[FIT_VERSION])
    ] = FIT_VERSION


class AnswerModel(Body):
    """A number with its unit, interval, counts and state."""

    value: Annotated[
        float | None,
        Field(
            description="Best single value in `unit`; null when it is too early.", examples=[7.4]
        ),
    ]
    low: Annotated[
        float | None, Field(description="Lower end of the interval, in `unit`.", examples=[7.1])
    ]
    high: Annotated[
        float | None, Field(description="Upper end of the interval, in `unit`.", examples=[7.7])
    ]
    unit: Annotated[str, Field(description="UCUM code of the unit.", examples=["m"])]
    n_shots: Annotated[
        int, Field(ge=0, description="Shots (or triples, swings) behind it.", examples=[42])
    ]
    n_sessions: Annotated[int, Field(ge=0, description="Days behind it.", examples=[3])]
    state: Annotated[
        Literal["clear", "leaning", "too_early"],
        Field(description="How far the answer can be relied on.", examples=["clear"]),
    ]
    level: Annotated[
        float, Field(gt=0, lt=1, description="Level of the interval.", examples=[0.9])
    ] = 0.9
    need: Annotated[
        str,
        Field(
            description="What is still missing, in words (`8 of 15 shots`); empty when nothing is.",
            examples=[""],
        ),
    ] = ""
    as_of: Annotated[
        datetime,
        Field(description="The store as it stood then, UTC.", examples=["2026-05-04T17:30:00Z"]),
    ]
    fit_version: Annotated[
        str, Field(description="Version of the computations.", examples=[FIT_VERSION])
    ] = FIT_VERSION

    @classmethod
    def of(cls, answer: Answer, as_of: datetime) -> Self:
        """The body for an `Answer` about the store as it stood at `as_of`."""
        return cls(
            value=answer.value,
            low=answer.low,
            high=answer.high,
            unit=answer.unit,
            n_shots=answer.n_shots,
            n_sessions=answer.n_sessions,
            state=answer.state,
            level=answer.level,
            need=answer.need,
            as_of=as_of,
            fit_version=answer.fit_version,
        )


class FaultBody(BaseModel):
    """One fault of a request."""

    where: Annotated[str, Field(description="Place of the fault.", examples=["query.limit"])]
    what: Annotated[str, Field(description="What is wrong.", examples=["must be at least 1"])]


class ProblemBody(BaseModel):
    """A problem as RFC 9457 describes it."""

    type: Annotated[
        str, Field(description="Where the code is explained.", examples=["/docs#problems"])
    ]
    title: Annotated[str, Field(description="The status in words.", examples=["Not Found"])]
    status: Annotated[int, Field(description="HTTP status.", examples=[404])]
    code: Annotated[str, Field(description="Stable code of the reason.", examples=["not_found"])]
    detail: Annotated[
        str, Field(description="What is wrong.", examples=["There is no player here."])
    ]
    mend: Annotated[str, Field(description="What to do about it.", examples=["Check the address."])]
    errors: Annotated[list[FaultBody] | None, Field(description="Each fault.")] = None
    file: Annotated[str | None, Field(description="Name of the file.")] = None
    row: Annotated[int | None, Field(description="1-based line in the file.")] = None
    column: Annotated[str | None, Field(description="Header of the column.")] = None
    value: Annotated[str | None, Field(description="The offending text.")] = None
