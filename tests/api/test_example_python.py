"""The Python example against a running service: the calls a developer makes in the first hour."""

import importlib.util
import io
import sys
from pathlib import Path

import polars as pl
import pytest

from api.app import make_app
from api.keys import create_key
from api.service_state import ServiceState
from api.settings import Settings
from tests.api.live_server import serving
from tests.api.test_imports import export


@pytest.fixture
def client_module(request):
    """The example as a module: the one in docs, or an older one that was frozen."""
    path = Path(getattr(request, "param", "docs/examples/python/carrybook_client.py"))
    spec = importlib.util.spec_from_file_location("carrybook_client", path)
    module = importlib.util.module_from_spec(spec)
    sys.modules["carrybook_client"] = module
    spec.loader.exec_module(module)
    yield module
    del sys.modules["carrybook_client"]


@pytest.fixture
def book(client_module, with_rows):
    """The example's client, with a key, over a served store."""
    state = ServiceState(with_rows)
    scopes = ["read:profiles", "read:rows", "import"]
    _, key = create_key(state, "diary", scopes, players=["pada1", "pben2"])
    state.close()
    settings = Settings(with_rows, keys_only=True, import_process=False)
    with serving(make_app(settings)) as address:
        yield client_module.Carrybook(address, key)


EITHER = pytest.mark.parametrize(
    "client_module",
    ["docs/examples/python/carrybook_client.py", "tests/api/contract/client_v1.py"],
    indirect=True,
    ids=["now", "old"],
)


@EITHER
def test_the_first_hour(book):
    assert [player["player_id"] for player in book.players()] == ["pada1", "pben2"]
    curves = book.carry_curves("pada1")["curves"]
    assert curves[0]["club"] == "SW"
    assert {"state", "need"} <= set(curves[0])
    needed = book.speed_for("pada1", "SW", 7.2)["speed"]
    assert needed["unit"] == "m/s"
    assert needed["state"] in {"clear", "leaning", "too_early"}
    assert book.profile("pada1")["player_id"] == "pada1"
    assert pl.read_parquet(io.BytesIO(book.rows("pada1"))).height == 25


@EITHER
def test_an_export_is_sent_and_the_change_is_told(book):
    _, cursor = book.changes(0)
    job = book.wait(book.send("pben2", "monday.csv", export(5)))
    assert job["state"] == "finished"
    changes, _ = book.changes(cursor)
    assert [(c["type"], c["player_id"]) for c in changes] == [
        ("import.finished", "pben2"),
        ("profile.changed", "pben2"),
    ]


@EITHER
def test_a_refusal_has_a_code_and_advice(book, client_module):
    with pytest.raises(client_module.Refused) as caught:
        book.profile("pcleo3")
    assert (caught.value.status, caught.value.code) == (404, "not_found")
    assert caught.value.mend
