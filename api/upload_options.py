"""What the sender of an upload says about the file beforehand, as query parameters."""

from typing import Annotated, Literal

from fastapi import Query
from pydantic import BaseModel


class UploadOptions(BaseModel):
    """What the sender says about the file beforehand, in place of being asked."""

    kind: Literal["launch", "tempo", "marks", "scores"] | None = None
    zone: str | None = None
    decimal: str | None = None
    date_order: str | None = None
    day: str | None = None
    surface: str | None = None
    units: dict[str, str] | None = None


async def upload_options(
    *,
    kind: Annotated[
        Literal["launch", "tempo", "marks", "scores"] | None,
        Query(
            description="What the file is, when its headers should not decide.", examples=["launch"]
        ),
    ] = None,
    zone: Annotated[
        str | None,
        Query(
            max_length=64,
            description="IANA time zone of its local times.",
            examples=["Europe/Dublin"],
        ),
    ] = None,
    decimal: Annotated[
        Literal[".", ","] | None, Query(description="Decimal mark.", examples=["."])
    ] = None,
    date_order: Annotated[
        Literal["dmy", "mdy", "ymd"] | None, Query(description="Order of dates.", examples=["dmy"])
    ] = None,
    day: Annotated[
        str | None,
        Query(
            pattern=r"^[12][0-9]{3}-[01][0-9]-[0-3][0-9]$",
            description="Day of the session, for files that hold only clock times.",
            examples=["2026-05-04"],
        ),
    ] = None,
    surface: Annotated[
        str | None,
        Query(
            min_length=1,
            max_length=40,
            description="What the balls were struck from, where the rows do not say: mat, grass …",
            examples=["mat"],
        ),
    ] = None,
    unit: Annotated[
        list[str] | None,
        Query(
            max_length=20,
            description="Unit of a column as COLUMN=UCUM; may be repeated.",
            examples=[["carry_m=[ft_i]"]],
        ),
    ] = None,
) -> UploadOptions:
    """The options of an upload."""
    units = {}
    for text in unit or []:
        column, _, code = text.partition("=")
        units[column] = code
    return UploadOptions(
        kind=kind,
        zone=zone,
        decimal=decimal,
        date_order=date_order,
        day=day,
        surface=surface,
        units=units or None,
    )
