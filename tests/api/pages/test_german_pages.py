"""German pages are German: no English sentence is left on one, whoever it comes from."""

import re
from collections.abc import Iterator
from html.parser import HTMLParser

import pytest

from api.app import make_app
from api.settings import Settings
from ingest.store import ledgers
from tests.api.client import client_of
from tests.api.pages.furnished_store import OPEN_UNIT, WILMA, furnish
from tests.browser.page_list import PAGES

SAME = re.compile(
    # Terms and names that are the same in both, a file's own words, and the book's own columns.
    r"carrybook|Tempo|Plan|Test|Carry|Ball|Station|English|Deutsch|mph|Up and down|PDF · Letter"
    r"|Club speed.*|Launch angle.*|Local time|fast|[a-z]+(_[a-z]+)+"
    r"|Carry, (ft|m)|.*\.csv|(shots|evening)[ .].*|k[0-9a-f]{12}"
    r"|Maren's phone|green-side board|\w+ · carrybook",
)


class Words(HTMLParser):
    """Texts and labels of a page; people's own words and lists to choose from left out."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self._left_out = 0

    def handle_starttag(self, tag, attrs):
        self.found += [value for name, value in attrs if name in {"aria-label", "title"} and value]
        self._left_out += tag in {"select", "script", "bdi"}

    def handle_endtag(self, tag):
        self._left_out -= tag in {"select", "script", "bdi"}

    def handle_data(self, data):
        if not self._left_out and data.strip():
            self.found.append(re.sub(r"\s+", " ", data.strip()))


def words(html: str) -> list[str]:
    parser = Words()
    parser.feed(html)
    return parser.found


@pytest.fixture(scope="module")
def furnished(tmp_path_factory):
    store = tmp_path_factory.mktemp("furnished") / "store"
    furnish(store)
    return store


def paths(store) -> Iterator[str]:
    [found] = [one for one in ledgers(store, WILMA) if one.source_name == OPEN_UNIT]
    yield from PAGES.values()
    yield from (f"/imports/{found.import_id}", "/players/nobody99", "/nowhere")
    yield from (f"/players/plong1{tab}" for tab in ("", "/today", "/card", "/plan", "/leave"))
    yield from ("/players/q3fk82/plan?edge=18&hole=400", "/players/q3fk82/plan?speed=99")
    yield "/players/q3fk82/card?club=SW&carry=240"


def test_no_english_sentence_is_left_on_a_german_page(furnished):
    left = {}
    with client_of(make_app(Settings(furnished))) as client:
        for path in paths(furnished):
            english, german = (
                words(
                    client.request(
                        "GET", path, headers={"accept-language": code, "accept": "text/html"}
                    ).text
                )
                for code in ("en", "de")
            )
            same = set(english) & set(german)
            same = {one for one in same if re.search("[a-z]{3}", one) and not SAME.fullmatch(one)}
            if same:
                left[path] = same
    assert left == {}


def test_doubts_and_rows_set_aside_are_said_in_german(furnished):
    [found] = [one for one in ledgers(furnished, WILMA) if one.source_name == OPEN_UNIT]
    headers = {"accept-language": "de"}
    with client_of(make_app(Settings(furnished))) as client:
        doubts = client.request("GET", "/doubts", headers=headers).text
        detail = client.request("GET", f"/imports/{found.import_id}", headers=headers).text
    assert "Keine Einheit ist angegeben, und die Zahlen lassen mehr als eine zu." in doubts
    for said in (
        "Der Text ist keine Zahl dieser Spalte.",
        "Der Wert liegt über dem Möglichen",
        "Diesen Tag gibt es nicht.",
        "Das Datum berichtigen.",
    ):
        assert said in detail
