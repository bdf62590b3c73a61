"""Rows an import did not keep: where, why, and what would mend them."""

from pathlib import Path
from typing import Annotated, Any

import pyarrow.compute as pc
from fastapi import Depends, Request, Response
from pyarrow.dataset import dataset
from pydantic import Field

from analytics.errors import RowsMoved
from api.answering import plain_router
from api.deps import CallerOf, Needs, ServiceOf
from api.imports_seen import ImportId, folder_of
from api.models import Body, PlayerId
from api.paging import AfterNumber, Limit, link_next

router = plain_router("/imports", "imports", None)

ASIDE = "set_aside.parquet"
Json = dict[str, Any]  # a JSON document
OTHER_PLAYER = "other_player"
ORDER = [("source_line", "ascending"), ("column", "ascending")]


class RowSetAside(Body):
    """One row of a file that was not kept."""

    source_line: Annotated[int, Field(description="1-based line in the file.", examples=[14])]
    column: Annotated[
        str | None, Field(description="Header; empty: the whole row.", examples=["Carry (ft)"])
    ]
    value: Annotated[
        str | None,
        Field(description="Offending text; null: another player's name.", examples=["2l.5"]),
    ]
    code: Annotated[str, Field(description="Stable code of the reason.", examples=["not_a_number"])]
    reason: Annotated[str, Field(description="What is wrong.", examples=["This is no number."])]
    mend: Annotated[str, Field(description="What to do.", examples=["Write it in digits."])]
    raw_text: Annotated[
        str | None,
        Field(
            description="The row as it stood; null: it is another player's.",
            examples=["2,2026-05-04 17:31:00,SW,17.4,2l.5"],
        ),
    ]

    @classmethod
    def of(cls, row: Json) -> "RowSetAside":
        """The row as it is kept; of another player's only where it stands."""
        whole = row["code"] != OTHER_PLAYER
        return cls(**(row if whole else row | {"value": None, "raw_text": None}))


class RowsSetAside(Body):
    """A page of the rows an import did not keep, in order of line."""

    import_id: Annotated[
        str, Field(description="The import.", examples=["9a3be1ae5efbdf46e1db2d5f8e3bb8c3"])
    ]
    player_id: PlayerId
    items: Annotated[list[RowSetAside], Field(description="The rows of this page.")]


@router.get(
    "/{import_id}/set-aside", summary="Rows set aside", dependencies=[Depends(Needs("read:rows"))]
)
async def get_set_aside(
    *,
    import_id: ImportId,
    service: ServiceOf,
    caller: CallerOf,
    request: Request,
    response: Response,
    after: AfterNumber = 0,
    limit: Limit = 100,
) -> RowsSetAside:
    """Every row of the file that was not kept, with its reason and what would mend it.

    `after` counts rows; `Link` leads to the next page. Send the mended rows as a file of their own.
    Of another player's rows only the line is told: import the file for that player too.
    """
    folder, player_id = folder_of(service, caller, import_id)
    request.state.shown = [player_id]
    rows = await service.runner.run(_rows, folder, after, limit + 1)
    if len(rows) > limit:
        path = f"/v1/imports/{import_id}/set-aside"
        response.headers["Link"] = link_next(path, after + limit, limit)
    items = [RowSetAside.of(row) for row in rows[:limit]]
    return RowsSetAside(import_id=import_id, player_id=player_id, items=items)


def _rows(folder: Path, after: int, limit: int) -> list[Json]:
    """At most so many rows after as many others, in order of line; there may be millions.

    Raises: RowsMoved when the import was taken back meanwhile.
    """
    if not (folder / ASIDE).is_file() and folder.is_dir():
        return []
    try:
        source = dataset(folder / ASIDE)
        order = pc.sort_indices(source.to_table([name for name, _ in ORDER]), ORDER)
        page = source.take(order.slice(after, limit), columns=list(RowSetAside.model_fields))
    except FileNotFoundError as error:
        raise RowsMoved(
            "The import was moved while its rows were read.", "Ask again; the store is whole."
        ) from error
    rows: list[Json] = page.to_pylist()
    return rows
