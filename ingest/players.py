"""Players: an opaque identity each, and the little that the job needs to know of them."""

import json
import secrets
import string
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from ingest.errors import BadOption, UnknownPlayer
from ingest.store_writing import StoreWriting
from ingest.whole_file import whole_file
from schemas.store_paths import PLAYER, PLAYER_ID, player_dir, root

LONGEST_NAME = 80
ALPHABET = string.ascii_lowercase + string.digits


@dataclass(frozen=True)
class Player:
    """One player. A birth date or family name is never asked for."""

    player_id: str
    display_name: str
    handedness: Literal["right", "left"] = "right"
    age_band: Literal["adult", "junior"] = "adult"
    guardian_consent: bool = False
    zone: str = "UTC"
    coach: str | None = None


def new_player_id() -> str:
    """A fresh opaque identity."""
    return "p" + "".join(secrets.choice(ALPHABET) for _ in range(9))


def add_player(store: Path, player: Player) -> None:
    """Write the card of a player who is not there yet. Raises BadOption for an id that is taken."""
    if PLAYER_ID.fullmatch(player.player_id) and player_dir(store, player.player_id).is_dir():
        raise BadOption(
            f"There is a player {player.player_id!r} already.",
            "leave --id out, or look at `carrybook players`.",
            column="player_id",
            value=player.player_id,
        )
    save_player(store, player)


def save_player(store: Path, player: Player) -> None:
    """Write a player's card, new or changed, by one rename."""
    check_zone(player.zone)
    _check_name(player.display_name)
    if not PLAYER_ID.fullmatch(player.player_id):
        raise BadOption(
            f"{player.player_id!r} is no player id.",
            "use a small letter, then 3 to 31 small letters or digits.",
        )
    card = player_dir(store, player.player_id) / PLAYER
    text = json.dumps(asdict(player), indent=1, ensure_ascii=False) + "\n"
    with StoreWriting(store):
        card.parent.mkdir(parents=True, exist_ok=True)
        with whole_file(card, lasting=True) as staged:
            staged.write_text(text, "utf-8")


def _check_name(name: str) -> None:
    if not name.strip() or len(name) > LONGEST_NAME or not name.isprintable():
        raise BadOption(
            "A player needs a name that can be read.",
            f"give 1 to {LONGEST_NAME} letters; a first name is enough.",
            column="display_name",
            value=name[:LONGEST_NAME],
        )


def load_player(store: Path, player_id: str) -> Player:
    """One player by id; what later versions note of one is passed over. Raises UnknownPlayer."""
    path = player_dir(store, player_id) / PLAYER if PLAYER_ID.fullmatch(player_id) else None
    if path is None or not path.is_file():
        raise UnknownPlayer(
            f"The store {store} has no player {player_id!r}.",
            "add one with `carrybook players add NAME`, or list them with `carrybook players`.",
        )
    stated = json.loads(path.read_text("utf-8"))
    return Player(**{name: stated[name] for name in Player.__dataclass_fields__ if name in stated})


def all_players(store: Path) -> list[Player]:
    """Every player of the store, by display name."""
    folders = root(store).glob("player=*")
    found = [load_player(store, folder.name.removeprefix("player=")) for folder in folders]
    return sorted(found, key=lambda player: (player.display_name, player.player_id))


def find_player(store: Path, text: str) -> Player:
    """The player meant by an id or by an unmistakable display name."""
    if PLAYER_ID.fullmatch(text) and (player_dir(store, text) / PLAYER).is_file():
        return load_player(store, text)
    named = [p for p in all_players(store) if p.display_name.casefold() == text.casefold()]
    if len(named) > 1:
        ids = ", ".join(player.player_id for player in named)
        raise UnknownPlayer(f"{len(named)} players are called {text!r}.", f"give an id: {ids}.")
    return named[0] if named else load_player(store, text)


def check_zone(zone: str) -> ZoneInfo:
    """The zone by its IANA name. Raises BadOption with the mend."""
    try:
        return ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise BadOption(
            f"There is no time zone {zone!r}.",
            "use an IANA name such as Europe/Madrid or America/Denver.",
        ) from error
