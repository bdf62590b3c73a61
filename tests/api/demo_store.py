"""A store that the demo's exports were imported into, with the pairs that its truth states.

The trip is the real one (files, layouts, units, clocks); only the pairing is taken from the truth,
so that these tests fail for feedback's faults alone.
"""

import json
import tomllib
from pathlib import Path

import pyarrow as pa
import pyarrow.compute as pc

from analytics.db import open_store
from demo_data.cast import FOOT_M, WEEKS, day_of
from demo_data.cast import player as demo_player
from demo_data.ground import conditions
from demo_data.write import write_demo
from ingest.derived import write_derived
from ingest.hand_entry import enter
from ingest.import_file import import_file
from ingest.players import Player, save_player
from schemas.tables import arrow_schema

SURE = {"probability": 0.98, "fit_version": "1"}
READ = {"launch", "tempo", "marks"}
KEYS = ("player_id", "display_name", "handedness", "age_band", "guardian_consent", "zone")


def demo_store(folder: Path, names: tuple[str, ...]) -> Path:
    """A store of these players, every file of theirs taken in."""
    exports, store = folder / "exports", folder / "store"
    write_demo(exports)
    listed = tomllib.loads((exports / "players.toml").read_text("utf-8"))["player"]
    players = [
        Player(**{key: one[key] for key in KEYS}) for one in listed if one["display_name"] in names
    ]
    files = tomllib.loads((exports / "imports.toml").read_text("utf-8"))["import"]
    for player in players:
        save_player(store, player)
        for file in files:
            if file["player_id"] == player.player_id and file["kind"] in {
                "launch",
                "tempo",
                "marks",
            }:
                import_file(store, exports / file["path"], player)
        enter(store, player.player_id, "sessions", _conditions(player))
        _pairs(store, player, json.loads((exports / "truth.json").read_text("utf-8")))
    return store


def _conditions(player: Player) -> list[dict[str, object]]:
    """What the coach noted of each day, entered by hand."""
    rows = []
    for week in range(WEEKS):
        place = conditions(demo_player(player.display_name), week)
        rows.append(
            {
                "session_id": f"{player.player_id}:{day_of(week):%Y-%m-%d}",
                "day": day_of(week),
                "wetness": place.wetness,
                "window_near_m": place.window_near_ft * FOOT_M,
                "window_far_m": place.window_far_ft * FOOT_M,
                "gate_width_m": 0.6858,
                "gate_distance_m": place.gate_distance_ft * FOOT_M,
                "edge_m": place.edge_ft * FOOT_M,
                "hole_m": place.hole_ft * FOOT_M,
                "fall_line_deg": 160.0,
            }
        )
    return rows


def _pairs(store: Path, player: Player, truth: dict[str, list[dict[str, object]]]) -> None:
    connection = open_store(store, player.player_id)
    shots = _lines(connection.sql("SELECT * FROM shots").to_arrow_table(), connection)
    swings = _lines(connection.sql("SELECT * FROM swings").to_arrow_table(), connection)
    rows = []
    for session in truth["sessions"]:
        if session["player_id"] != player.player_id:
            continue
        launch = Path(session["launch_files"][-1]).name
        tempo = Path(session["tempo_file"]).name
        by_ball = {p["ball"]: shots.get((launch, p["launch_line"])) for p in session["pairs"]}
        of = f"{player.player_id}:{session['day']}"
        for pair in session["pairs"]:
            rows.append(
                (of, by_ball[pair["ball"]], swings.get((tempo, pair["swing_line"])), "strike")
            )
        for swing in session["rehearsals"]:
            event = swings.get((tempo, swing["swing_line"]))
            rows.append((of, by_ball.get(swing["ball"]), event, swing["role"]))
    connection.close()
    names = ("session_id", "shot_event_id", "swing_event_id", "role")
    known = [dict(zip(names, row, strict=True)) for row in rows if row[1] and row[2]]
    schema = arrow_schema("pairs")
    table = pa.Table.from_pylist(
        [dict.fromkeys(schema.names) | row | SURE for row in known],
        schema=schema,
    )
    write_derived(store, player.player_id, "pairs", table, "truth")


def _lines(table: pa.Table, connection) -> dict[tuple[str, int], str]:
    """Event of each (file name, line); a later import of the same event wins."""
    imports = connection.sql("SELECT import_id, source_name FROM imports").to_arrow_table()
    name_of = dict(zip(*(imports[c].to_pylist() for c in imports.column_names), strict=True))
    names = [name_of[i] for i in table["import_id"].to_pylist()]
    lines = pc.cast(table["source_line"], pa.int64()).to_pylist()
    return dict(zip(zip(names, lines, strict=True), table["event_id"].to_pylist(), strict=True))
