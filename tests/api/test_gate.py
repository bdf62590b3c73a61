"""What every request meets, whatever its route."""


def test_an_unknown_address_is_a_problem(client):
    answer = client.get("/v1/nothing")
    assert answer.status_code == 404
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.json()["code"] == "not_found"
    assert answer.headers["x-request-id"]


def test_a_wrong_method_names_all_the_right_ones(client):
    answer = client.request("PUT", "/v1/players")
    assert answer.status_code == 405
    assert answer.headers["content-type"] == "application/problem+json"
    assert {"GET", "HEAD", "OPTIONS"} <= set(answer.headers["allow"].split(", "))


def test_head_is_get_without_the_body(client):
    get, head = client.get("/v1/players"), client.request("HEAD", "/v1/players")
    assert head.status_code == 200
    assert head.content == b""
    assert head.headers["content-length"] == get.headers["content-length"]


def test_options_names_the_methods(client):
    answer = client.request("OPTIONS", "/v1/players")
    assert answer.status_code == 204
    assert "GET" in answer.headers["allow"]


def test_a_harmless_request_id_is_kept_and_another_is_not(client):
    kept = client.get("/healthz", headers={"X-Request-Id": "abc-12345"})
    assert kept.headers["x-request-id"] == "abc-12345"
    made = client.get("/healthz", headers={"X-Request-Id": "<script>"})
    assert made.headers["x-request-id"] != "<script>"


def test_an_address_that_is_too_long_is_refused(client):
    assert client.get("/v1/players?after=" + "a" * 9000).status_code == 414


def test_without_a_key_only_this_machine_is_answered(client):
    assert client.get("/v1/players").status_code == 200
    far = client.as_(None, address="192.0.2.7").get("/v1/players")
    assert far.status_code == 401
    assert far.headers["www-authenticate"].startswith("Bearer")


def test_another_host_name_is_not_this_machine(client):
    assert client.get("/v1/players", headers={"Host": "evil.example"}).status_code == 401
