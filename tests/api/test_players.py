"""Players as resources."""


def test_the_owner_sees_every_player(client):
    body = client.get("/v1/players").json()
    assert [item["player_id"] for item in body["items"]] == ["pada1", "pben2", "pcleo3", "pdan4"]


def test_pages_follow_each_other_without_a_gap(client):
    address, seen = "/v1/players?limit=1", []
    while address:
        answer = client.get(address)
        seen += [item["player_id"] for item in answer.json()["items"]]
        link = answer.headers.get("link", "")
        address = link.partition("<")[2].partition(">")[0]
    assert seen == ["pada1", "pben2", "pcleo3", "pdan4"]


def test_an_unknown_player_is_not_there(client):
    assert client.get("/v1/players/pnobody").status_code == 404
    assert client.get("/v1/players/..%2Fetc").status_code in {404, 422}
