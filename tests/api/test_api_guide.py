"""The guide names only what is there."""

import re
from pathlib import Path

from api.access import SCOPES
from api.app import make_app
from api.settings import Settings

GUIDE = Path("docs/api_guide.md").read_text("utf-8")
PATHS = set(make_app(Settings(Path("nowhere"))).openapi()["paths"])


def known(address: str) -> bool:
    """Whether an address of the guide is one of the description's."""
    pattern = re.sub(r"\{\w+\}", "[^/]+", "|".join(f"(?:{path})" for path in PATHS))
    return re.fullmatch(pattern, address) is not None


def test_every_address_is_one_of_the_services():
    named = re.findall(r"(?:\$BOOK|GET |POST )(/v1/[\w/{}\-]+)", GUIDE)
    assert len(named) > 8
    assert [address for address in named if not known(address.rstrip("/"))] == []


def test_every_resource_of_a_player_is_there():
    listed = GUIDE.partition("Under `/v1/players/{player_id}`:")[2].partition("and more")[0]
    for name in re.findall(r"`([\w-]+)`", listed):
        assert f"/v1/players/{{player_id}}/{name}" in PATHS, name


def test_every_scope_is_explained():
    assert all(f"`{scope}`" in GUIDE for scope in SCOPES)
