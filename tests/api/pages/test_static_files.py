"""Files beside the pages: kept for good only under the address that names their content."""

import re

import pytest

from api.static_files import FOR_GOOD, address, digest


@pytest.mark.parametrize("name", ["book.css", "book.js", "after_load.js", "icon.svg"])
def test_a_file_is_kept_for_good_under_its_digest_only(client, name):
    assert client.get(address(name)).headers["cache-control"] == FOR_GOOD
    for other in (f"/static/{name}", f"/static/{name}?v=0000000000"):
        assert "immutable" not in client.get(other).headers["cache-control"]


def test_a_file_that_is_not_there_is_not_kept_for_good(client):
    answer = client.get("/static/none.css?v=" + digest("book.css"))
    assert answer.status_code == 404
    assert "immutable" not in answer.headers.get("cache-control", "")


def test_pages_name_the_content_of_every_file_they_use(client):
    page = client.get("/players/pada1/today").text
    used = re.findall(r'"(/static/[^"]+)"', page)
    assert len(used) >= 4
    assert all(client.get(path).headers["cache-control"] == FOR_GOOD for path in used)


def test_the_worker_is_never_kept(client):
    assert client.get(address("worker.js")).headers["cache-control"] == "no-cache"


def test_entry_pages_have_their_script_before_the_first_tap(client):
    for tab in ("marks", "test"):
        assert (
            f'<script src="{address("book.js")}" defer>' in client.get(f"/players/pada1/{tab}").text
        )
    assert f'data-then="{address("book.js")}"' in client.get("/players/pada1/today").text
