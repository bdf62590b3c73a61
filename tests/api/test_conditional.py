"""Every GET carries a tag and is asked again for nothing; no tag tells of what is not shown."""

import asyncio

import pytest

from api.cache import Cache
from tests.api.test_who_may import NOT_FOUND, OPERATIONS, asked, refers, table  # noqa: F401

READS = [operation for operation in OPERATIONS if operation["method"] == "GET"]
VARYING = {"date", "x-request-id", "ratelimit"}


def told(answer):
    """What the head of an answer tells."""
    return {name: value for name, value in answer.headers.items() if name not in VARYING}


@pytest.fixture
def anna_and_bela(table):  # noqa: F811 -- the fixture of the other module
    """Anna's app and the things of both."""
    client, anna, bela = table
    return client.as_(anna.all_scopes, address="192.0.2.7"), anna, bela


@pytest.mark.parametrize("operation", READS, ids=lambda o: o["path"])
def test_every_read_has_a_tag_and_may_be_asked_again_for_nothing(anna_and_bela, operation):
    app, anna, _ = anna_and_bela
    method, path, options = asked(operation, anna)
    for encoding in ("identity", "gzip"):
        headers = {"Accept-Encoding": encoding}
        first = app.request(method, path, **options | {"headers": headers})
        if first.status_code != 200:  # what the example names is not there: nothing to keep
            assert first.headers["cache-control"] == "no-store"
            return
        assert first.headers["etag"].startswith('"')
        assert first.headers["cache-control"] == "private, no-cache"
        assert {"Authorization", "Accept-Encoding"} <= set(first.headers["vary"].split(", "))
        for given in (first.headers["etag"], f'"other", W/{first.headers["etag"]}', "*"):
            again = app.request(
                method, path, **options | {"headers": headers | {"If-None-Match": given}}
            )
            assert (again.status_code, again.content) == (304, b"")
            assert again.headers["etag"] == first.headers["etag"]
        other = headers | {"If-None-Match": '"other"'}
        assert app.request(method, path, **options | {"headers": other}).status_code == 200
        head = app.request("HEAD", path, **options | {"headers": headers})
        assert told(head) == told(first)


@pytest.mark.parametrize(
    "operation", [o for o in READS if refers(o)], ids=lambda o: o["path"].removeprefix("/v1/")
)
def test_no_head_tells_a_strangers_thing_from_none(anna_and_bela, operation):
    app, _, bela = anna_and_bela
    names = [p["name"] for p in operation["parameters"] if p["name"] in bela.ids]
    missing = type("Missing", (), {"ids": {name: nothing(bela.ids[name]) for name in names}})
    answers = []
    for things in (bela, missing):
        method, path, options = asked(operation, things)
        for given in ({}, {"If-None-Match": "*"}, {"Range": "bytes=0-1"}):
            answer = app.request(method, path, **options | {"headers": given})
            assert answer.status_code == NOT_FOUND
            answers.append((told(answer), answer.json()))
    assert [answer for answer in answers if answer != answers[0]] == []


def nothing(name: str) -> str:
    """An identity of the same form that nobody has."""
    return name[0] + "".join("0" if letter.isdigit() else letter for letter in name[1:-1]) + "9"


def test_a_list_that_leads_on_says_so_when_it_is_unchanged(client):
    first = client.get("/v1/players?limit=2")
    again = client.get("/v1/players?limit=2", headers={"If-None-Match": first.headers["etag"]})
    assert again.status_code == 304
    assert again.headers["link"] == first.headers["link"]


def test_the_tag_of_one_encoding_is_not_that_of_the_other(client):
    path = "/v1/changes"
    plain = client.get(path, headers={"Accept-Encoding": "identity"})
    zipped = client.get(path, headers={"Accept-Encoding": "gzip"})
    assert plain.json() == zipped.json()
    assert (plain.headers["etag"] == zipped.headers["etag"]) == (len(plain.content) < 1024)


def test_what_changes_something_is_never_kept(client):
    made = client.post("/v1/players", json={"display_name": "Eve"})
    assert made.headers["cache-control"] == "no-store"
    assert "etag" not in made.headers
    assert client.get("/healthz").headers["cache-control"] == "no-store"


def test_the_description_is_sent_once(client):
    first = client.get("/openapi.json")
    assert first.json()["openapi"].startswith("3.1")
    again = client.get("/openapi.json", headers={"If-None-Match": first.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


def test_only_one_computes_while_others_wait_also_for_one_that_comes_late():
    cache, at_once, most = Cache(1000), 0, 0

    async def compute():
        nonlocal at_once, most
        async with cache.flight("key"):
            at_once += 1
            most = max(most, at_once)
            await asyncio.sleep(0.001)
            at_once -= 1

    async def run():
        async with asyncio.TaskGroup() as group:
            for _ in range(20):
                group.create_task(compute())
                await asyncio.sleep(0.0005)

    asyncio.run(run())
    assert most == 1


def test_a_write_with_if_match_overwrites_nobody(client):
    place = "/v1/players/pada1"
    read = client.get(place).headers["etag"]
    first = client.request(
        "PATCH", place, json={"display_name": "Adele"}, headers={"If-Match": read}
    )
    assert (first.status_code, first.headers["etag"]) == (200, client.get(place).headers["etag"])
    for method, options in (("PATCH", {"json": {"display_name": "Eve"}}), ("DELETE", {})):
        late = client.request(method, place, headers={"If-Match": read}, **options)
        assert (late.status_code, late.json()["code"]) == (412, "changed_meanwhile")
    weak = client.request(
        "PATCH", place, json={"zone": "UTC"}, headers={"If-Match": "W/" + first.headers["etag"]}
    )
    assert weak.status_code == 412
    for tag in ("*", f'"other", {first.headers["etag"]}'):
        same = client.request("PATCH", place, json={"zone": "UTC"}, headers={"If-Match": tag})
        first = same if tag == "*" else first
    assert client.get(place).json()["display_name"] == "Adele"
    assert (
        client.delete(place, headers={"If-Match": client.get(place).headers["etag"]}).status_code
        == 204
    )


def test_a_mend_over_http_names_an_address_and_no_command(client):
    problem = client.get("/v1/players/pada1/carry-curves/SW/speed-for?carry_m=7").json()
    assert problem["mend"] == "list the clubs with GET /v1/players/{player_id}/carry-curves."
