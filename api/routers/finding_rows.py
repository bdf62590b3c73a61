"""The rows behind a finding: every number opens to the lines of the files it came from."""

from typing import Annotated

from fastapi import Path
from pydantic import Field

from analytics.bracket_rows import RowRef
from analytics.db import Connection
from analytics.evidence import evidence
from analytics.feedback import feedback
from analytics.findings import TILE_KEYS
from api.answering import player_router
from api.deps import Asker, AsOf, OnePlayer
from api.errors import not_found
from api.finding_models import RowRefBody
from api.models import Stamped

router = player_router("findings", scope="read:rows")


class FindingRowsBody(Stamped):
    """Rows a finding rests on."""

    key: Annotated[str, Field(description="The finding.", examples=["tempo_drift"])]
    rows: Annotated[list[RowRefBody], Field(description="In order of time.")]


@router.get("/findings/{key}/rows", summary="Rows behind a finding")
async def rows_of(
    *,
    player: OnePlayer,
    ask: Asker,
    as_of: AsOf,
    key: Annotated[
        str,
        Path(pattern=r"^[a-z_]{1,40}$", description="Finding.", examples=["tempo_drift"]),
    ],
) -> FindingRowsBody:
    """File and line of every ball and swing that went into the number."""
    if key not in TILE_KEYS:
        raise not_found("such finding", "Keys are listed in the profile's findings.")
    rows = await ask(_rows, player.player_id, key)
    bodies = [RowRefBody.of(row) for row in rows]
    return FindingRowsBody(player_id=player.player_id, as_of=as_of, key=key, rows=bodies)


def _rows(con: Connection, player_id: str, key: str) -> list[RowRef]:
    return evidence(feedback(con, player_id), key)
