"""A book with all that a page can show: doubts, rows set aside, keys, a junior, long names."""

from pathlib import Path

from api.keys import create_key
from api.service_state import ServiceState
from demo_data.book import make_book
from ingest.hand_entry import enter
from ingest.import_file import import_file
from ingest.options import Options
from ingest.players import Player, load_player, save_player
from tests.api.pages.demo_store import fill, shots_of

TOBIAS, WILMA, ARNE = "q3fk82", "h7wd41", "t9bx26"
LONG_NAME = "Maximiliana Konstanze von und zu Hohenstein-Wallersberg"
RIGHT_TO_LEFT = "نورة"
OPEN_UNIT = "no-unit-and-bad-rows.csv"


def furnish(store: Path) -> None:
    """The demo's players and all that makes a page more than its usual self."""
    fill(store)
    save_player(store, Player("plong1", LONG_NAME, "left", zone="Europe/Berlin"))
    save_player(store, Player("prtl11", RIGHT_TO_LEFT, "right", "junior", zone="Asia/Amman"))
    import_file(
        store,
        export_with_doubts(),
        load_player(store, WILMA),
        name=OPEN_UNIT,
        options=Options(zone="Europe/Berlin"),
    )
    _strangers(store)
    state = ServiceState(store)
    create_key(state, "Maren's phone", ["read:profiles", "import"], coach="Maren Ostrava")
    create_key(state, "green-side board", ["read:profiles"], players=[TOBIAS])
    state.close()


def export_with_doubts() -> bytes:
    """An export whose carry has no unit, with three rows that nobody can read."""
    header = "Shot,Local time,Club,Club speed (m/s),Ball speed (m/s),Launch angle (deg),Carry"
    rows = [f"{n},2025-12-03 10:{n:02}:00,SW,8.{n:02},8.{n:02},30,7.{n:02}" for n in range(1, 31)]
    rows[4] = "5,2025-12-03 10:05:00,SW,fast,8.05,30,7.05"
    rows[11] = "12,2025-12-03 10:12:00,SW,8.12,8.12,300,7.12"
    rows[20] = "21,2025-12-45 10:21:00,SW,8.21,8.21,30,7.21"
    return "\n".join([header, *rows, ""]).encode()


def _strangers(store: Path) -> None:
    """Arne's balls, taken in under Tobias' name one evening."""
    days = [day.session for day in make_book().days if day.session.player.player_id == ARNE]
    rows = [row for row in shots_of(days[2]) if row["swing_length"] == "hip"][-9:]
    moved = [row | {"entry_id": f"stranger-{n}"} for n, row in enumerate(rows)]
    enter(store, TOBIAS, "shots", moved, source_name="evening.csv")
