"""A single chart as a file: SVG, PNG or PDF."""

from importlib import import_module
from typing import Literal

from starlette.responses import Response

from analytics.db import Connection
from analytics.scored_test import Rules
from api.chart_files import MEDIA, as_file
from api.errors import not_found
from api.page_frame import ReaderOf, page_router
from api.page_view import View
from api.player_cards import PlayerCard
from api.plots.svg import Figure

router = page_router()
BY_RULES = ("test", "progress")
SUBJECTS = ("card", "bracket", "tempo", "landing", "leave", "test", "progress", "plan")


@router.get("/players/{player_id}/chart/{name}.{kind}")
async def chart(
    reader: ReaderOf, player_id: str, name: str, kind: Literal["svg", "png", "pdf"]
) -> Response:
    """One chart, as it stands on its page in this reader's units and words."""
    player = reader.card(player_id)
    figure = await reader.ask(player_id)(
        find_chart, player, reader.view, name, reader.rules(player)
    )
    made = await reader.service.runner.run(as_file, figure, kind)
    filename = f"{name}.{kind}"
    headers = {"Content-Disposition": f'attachment; filename="{filename}"'}
    return Response(made, media_type=MEDIA[kind], headers=headers)


def find_chart(
    con: Connection, player: PlayerCard, view: View, name: str, rules: dict[str, Rules]
) -> Figure:
    """The chart of this name. Raises Problem 404 when there is none."""
    subject = name.partition("-")[0]
    if subject in SUBJECTS:
        more = (rules,) if subject in BY_RULES else ()
        module = import_module(f"api.charts_{subject}")
        drawn: list[Figure] = module.figures(con, player, view, *more)
        for figure in drawn:
            if figure.name == name:
                return figure
    raise not_found("such chart", "Open the page of the chart and save it from there.")
