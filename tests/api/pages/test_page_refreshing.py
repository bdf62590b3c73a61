"""After a change the pages somebody reads are there again before they are asked for."""

import asyncio
import time

import pytest

from api.access import Caller
from api.app import make_app
from api.erase_player import erase_player
from api.keys import create_key, revoke_key
from api.page_cache import Asked
from api.page_refreshing import PageRefresher
from api.page_view import View
from api.service_state import ServiceState
from api.settings import Settings
from tests.api.client import client_of
from tests.api.pages.forms import Browser

TOBIAS, ARNE = "q3fk82", "t9bx26"
TABS = ("/today", "/bracket", "/marks")


@pytest.fixture
def app(book):
    return make_app(Settings(book, requests_per_minute=1_000_000, watch_s=30))


@pytest.fixture
def page(app):
    with client_of(app) as client:
        yield Browser(client)


def waited(holds, patience_s: float = 20.0) -> bool:
    """Whether something becomes true in time."""
    until = time.monotonic() + patience_s
    while not holds():
        if time.monotonic() > until:
            return False
        time.sleep(0.02)
    return True


def stand(app) -> dict[str, object]:
    """By path, the state of each kept page of Tobias."""
    kept = app.state.page_cache.used_since(0)
    return {asked.path: state for asked, state in kept if asked.player_id == TOBIAS}


def test_a_change_renders_the_pages_read_lately_again(app, page):
    for tab in TABS:
        page.get(f"/players/{TOBIAS}{tab}")
    assert waited(lambda: len(stand(app)) == len(TABS) or page.get(f"/players/{TOBIAS}/marks"))
    before = stand(app)
    page.send(f"/players/{TOBIAS}/marks", ball_number="77", land="2 ft", entry_id="fresh")

    def fresh() -> bool:
        now = stand(app)
        return all(now.get(path) not in {None, before[path]} for path in before)

    assert waited(fresh)
    [asked] = [
        asked
        for asked, _ in app.state.page_cache.used_since(0)
        if asked.path == f"/players/{TOBIAS}/marks"
    ]
    assert "<td>77</td>" in app.state.page_cache.get(asked, stand(app)[asked.path])


def test_a_player_just_changed_has_the_first_pages_ready_for_whoever_read_last(app, page):
    page.get(f"/players/{ARNE}/card")
    page.send(f"/players/{TOBIAS}/marks", ball_number="78", land="2 ft", entry_id="other")
    assert waited(lambda: f"/players/{TOBIAS}/card" in stand(app))


def test_what_a_reader_may_not_see_is_never_rendered_and_is_forgotten(app, page):
    page.get(f"/players/{TOBIAS}/card")
    stranger = Caller("k9", "Somebody", frozenset({"read:profiles"}))
    cache = app.state.page_cache
    asked = Asked(f"/players/{TOBIAS}/card", "", TOBIAS, stranger, View())
    cache.last = asked
    cache.put(asked, ("an older state",), "not for them")
    page.send(f"/players/{TOBIAS}/marks", ball_number="79", land="2 ft", entry_id="third")
    assert waited(lambda: asked not in [one for one, _ in cache.used_since(0)])
    mine = [one for one, _ in cache.used_since(0) if one.caller == stranger]
    assert mine == []


def test_a_change_cut_short_by_another_still_gets_its_first_pages(app, page):
    """Two players changed close together: the pages of the first are made too."""
    page.get(f"/players/{ARNE}/card")
    cache, service = app.state.page_cache, app.state.service
    refresher = PageRefresher(service, cache)
    refresher.nudge(TOBIAS)

    asyncio.run(refresher.render_stale())  # told of another change: gives up
    asyncio.run(_render(refresher))
    assert f"/players/{TOBIAS}/card" in stand(app)


@pytest.mark.parametrize("revoked", [False, True])
def test_no_page_is_made_for_a_revoked_key(app, page, book, revoked):
    elsewhere = ServiceState(book)
    record, _ = create_key(elsewhere, "phone", ["read:profiles"])
    if revoked:
        revoke_key(elsewhere, record.key_id)
    elsewhere.close()
    page.get(f"/players/{TOBIAS}/card")
    time.sleep(0.05)  # until the folder's stamp vouches for a page
    cache, phone = app.state.page_cache, record.caller()
    cache.last = Asked(f"/players/{ARNE}/card", "", ARNE, phone, View())
    refresher = PageRefresher(app.state.service, cache)
    refresher.nudge(TOBIAS)
    asyncio.run(_render(refresher))
    made = [asked for asked, _ in cache.used_since(0) if asked.caller == phone]
    assert bool(made) is not revoked


async def _render(refresher: PageRefresher) -> None:
    refresher._wake.clear()
    await refresher.render_stale()


def test_pages_of_an_erased_player_are_forgotten(app, page, book):
    page.get(f"/players/{TOBIAS}/card")
    time.sleep(0.05)  # until the folders' stamps vouch for pages
    for path in (f"/players/{TOBIAS}/card", f"/players/{ARNE}/card", "/players"):
        page.get(path)
    cache = app.state.page_cache
    assert stand(app)
    erase_player(book, TOBIAS)
    asyncio.run(_render(PageRefresher(app.state.service, cache)))
    left = [asked for asked, _ in cache.used_since(0)]
    assert TOBIAS not in {asked.player_id for asked in left}
    assert "Tobias" not in "".join(cache.get(a, s) or "" for a, s in cache.used_since(0))
