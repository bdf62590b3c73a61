"""The OWASP API Security Top 10 (2023 edition), item by item.

Source of the items: https://owasp.org/API-Security/editions/2023/en/0x11-t10/ . Two coaches, Anna
and Bela, share a store; Mallory holds a key of Bela's and wants Anna's players, or the machine.
"""

import gzip
import logging
import resource
import socket
from dataclasses import replace

import anyio
import pytest

from api import webhook_send
from api.access import SCOPES
from api.app import make_app
from api.keys import create_key
from api.service_state import ServiceState
from api.settings import Settings
from ingest.hand_entry import enter
from ingest.players import Player, save_player
from tests.api.client import client_of
from tests.api.conftest import shot_rows

FAR = "192.0.2.7"
CSV = {"Content-Type": "text/csv", "Prefer": "wait=20"}


@pytest.fixture
def two(tmp_path):
    """The store of both coaches, and a function that makes keys of Bela's."""
    store = tmp_path / "store"
    save_player(store, Player("panna1", "Ada", coach="anna"))
    save_player(store, Player("pbela1", "Ben", coach="bela"))
    enter(store, "panna1", "shots", shot_rows(10))
    state = ServiceState(store)
    yield store, lambda scopes=SCOPES: create_key(state, "m", scopes, coach="bela")[1]
    state.close()


@pytest.fixture
def app(two):
    """The service as an app meets it: a key is needed, imports in a thread."""
    store, _ = two
    return make_app(Settings(store, keys_only=True, import_process=False, watch_s=60))


@pytest.fixture
def mallory(app, two):
    """A client with Bela's key, elsewhere."""
    with client_of(app) as client:
        yield client.as_(two[1](), address=FAR)


class TestApi1BrokenObjectLevelAuthorization:
    def test_anothers_player_is_not_there_however_it_is_asked_for(self, mallory):
        for path in ("", "/profile", "/carry-curves", "/shots", "/sessions", "/edits"):
            assert mallory.get(f"/v1/players/panna1{path}").status_code == 404
        assert mallory.get("/v1/imports?player_id=panna1").status_code == 404
        assert mallory.delete("/v1/players/panna1").status_code == 404
        link = {"player_id": "panna1", "report": "profile"}
        assert mallory.post("/v1/share-links", json=link).status_code == 404

    def test_the_answer_does_not_tell_a_strangers_player_from_nobody(self, mallory):
        stranger, nobody = mallory.get("/v1/players/panna1"), mallory.get("/v1/players/pnobody1")
        assert stranger.json() == nobody.json()


class TestApi2BrokenAuthentication:
    @pytest.mark.parametrize(
        "header",
        ["", "Bearer", "Bearer ", "Bearer cb_x", "Basic Y2I6eA==", "cb_", "Bearer " + "A" * 4000],
    )
    def test_what_is_no_key_opens_nothing(self, mallory, header):
        asked = mallory.as_(None, address=FAR)
        assert asked.get("/v1/players", headers={"Authorization": header}).status_code == 401

    def test_a_key_in_the_address_is_not_taken(self, mallory, two):
        asked = mallory.as_(None, address=FAR)
        assert asked.get(f"/v1/players?key={two[1]()}&access_token=x").status_code == 401

    def test_guessing_is_slowed_down(self, two):
        settings = Settings(two[0], keys_only=True, requests_per_minute=100)
        with client_of(make_app(settings)) as client:
            guess = client.as_("cb_wrong", address=FAR)
            answers = [guess.get("/v1/players") for _ in range(130)]
        assert {answer.status_code for answer in answers} == {401, 429}
        assert answers[-1].headers["retry-after"]

    def test_a_key_never_reaches_the_log(self, mallory, caplog):
        caplog.set_level(logging.DEBUG)
        mallory.get("/v1/players")
        secret = mallory.headers["Authorization"].split()[1]
        lines = [str(record.__dict__) for record in caplog.records]
        assert lines
        assert not [line for line in lines if secret in line]
        assert not [line for line in lines if "pbela1" in line or "Ben" in line]


class TestApi3BrokenObjectPropertyLevelAuthorization:
    def test_a_property_that_is_not_offered_cannot_be_set(self, mallory):
        for extra in ({"coach": "anna"}, {"player_id": "panna1"}, {"admin": True}):
            body = {"display_name": "Eve"} | extra
            assert mallory.post("/v1/players", json=body).status_code == 422
            assert mallory.request("PATCH", "/v1/players/pbela1", json=extra).status_code == 422

    def test_nothing_more_is_shown_than_is_described(self, mallory):
        shown = mallory.get("/v1/players/pbela1").json()
        assert set(shown) == {"player_id", "display_name", "handedness", "age_band", "zone"}


class TestApi4UnrestrictedResourceConsumption:
    def test_bodies_addresses_and_pages_have_limits(self, mallory, app):
        settings = app.state.service.settings
        large = b"[" + b" " * settings.body_limit_bytes + b"]"
        headers = {"Content-Type": "application/json"}
        assert mallory.post("/v1/keys", content=large, headers=headers).status_code == 413
        assert mallory.get("/v1/players?limit=100000").status_code == 422
        assert mallory.get("/v1/players?after=" + "a" * 9000).status_code == 414
        assert mallory.get("/v1/players/pbela1/shots?limit=10000000").status_code == 422

    def test_an_upload_beyond_the_limit_stops_early_and_leaves_nothing(self, two):
        store, make = two
        settings = Settings(store, upload_limit_bytes=50_000, import_process=False)

        async def endless():
            for _ in range(1000):
                yield b"1,2,3\n" * 200

        with client_of(make_app(settings)) as client:
            asked = client.as_(make(), address=FAR)
            answer = asked.post("/v1/imports?player_id=pbela1", content=endless(), headers=CSV)
        assert answer.status_code == 413
        assert not list(store.glob("uploads/*"))

    def test_a_bomb_is_refused_before_it_unfolds(self, mallory, two):
        bomb = gzip.compress(b"0" * 300_000_000, 9)
        assert len(bomb) < 400_000
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        headers = CSV | {"Content-Type": "application/octet-stream"}
        path = "/v1/imports?player_id=pbela1&name=bomb.csv.gz"
        answer = mallory.post(path, content=bomb, headers=headers).json()
        grown_kib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
        assert answer["state"] == "failed"
        assert answer["problem"]["code"] == "too_large"
        assert grown_kib < 150_000
        assert not list((two[0] / "v1").glob("player=pbela1/import=*"))

    def test_a_key_may_have_only_so_many_jobs_waiting(self, mallory, app, monkeypatch):
        monkeypatch.setattr("api.routers.imports.MOST_WAITING", 0)
        answer = mallory.post("/v1/imports?player_id=pbela1", content=b"a\n", headers=CSV)
        assert answer.status_code == 429

    def test_a_body_that_does_not_come_is_given_up(self, two):
        async def silent():
            yield b"Shot,Carry (m)\n"
            await anyio.sleep(5)
            yield b"1,7\n"

        settings = Settings(two[0], slow_client_s=0.2, import_process=False)
        with client_of(make_app(settings)) as client:
            asked = client.as_(two[1](), address=FAR)
            answer = asked.post("/v1/imports?player_id=pbela1", content=silent(), headers=CSV)
        assert answer.status_code == 408
        assert not list(two[0].glob("uploads/*"))


class TestApi5BrokenFunctionLevelAuthorization:
    def test_a_reading_key_manages_nothing(self, mallory, two):
        reader = mallory.as_(two[1](["read:profiles"]), address=FAR)
        new = {"name": "x", "scopes": ["manage"]}
        assert reader.post("/v1/keys", json=new).status_code == 403
        assert reader.get("/v1/reads").status_code == 403
        assert reader.delete("/v1/players/pbela1").status_code == 403
        assert reader.post("/v1/webhooks", json={"url": "https://a.example/"}).status_code == 403
        assert reader.get("/metrics").status_code == 403
        assert reader.get("/v1/players/pbela1/shots").status_code == 403

    def test_another_method_is_no_way_around(self, mallory):
        for method in ("PUT", "TRACE", "CONNECT", "PROPFIND"):
            answer = mallory.request(method, "/v1/players/pbela1")
            assert answer.status_code == 405
            assert "GET" in answer.headers["allow"]
        override = {"X-HTTP-Method-Override": "DELETE"}
        assert mallory.get("/v1/players/pbela1", headers=override).status_code == 200


class TestApi6UnrestrictedAccessToSensitiveBusinessFlows:
    def test_a_link_cannot_stand_for_ever(self, mallory):
        link = {"player_id": "pbela1", "report": "profile", "days": 3650}
        assert mallory.post("/v1/share-links", json=link).status_code == 422

    def test_juniors_leave_with_consent_only(self, mallory):
        junior = {"display_name": "Kit", "age_band": "junior"}
        assert mallory.post("/v1/players", json=junior).status_code == 409
        agreed = mallory.post("/v1/players", json=junior | {"guardian_consent": True})
        place = agreed.headers["location"]
        mallory.request("PATCH", place, json={"guardian_consent": False})
        assert mallory.get(place).status_code == 404


class TestApi7ServerSideRequestForgery:
    def test_a_name_that_leads_inward_is_not_sent_to(self, monkeypatch):
        def inward(host, port, **options):
            return [(socket.AF_INET, socket.SOCK_STREAM, 6, "", ("10.0.0.8", port))]

        monkeypatch.setattr(webhook_send.socket, "getaddrinfo", inward)
        message = webhook_send.Message("msg_1", b"{}")
        with pytest.raises(webhook_send.NotSendable):
            webhook_send.send(
                "https://rebound.example/", "whsec_AAAA", message, private_hosts=False
            )

    def test_inward_addresses_cannot_be_registered(self, mallory):
        for host in ("127.0.0.1", "[::1]", "169.254.169.254", "0.0.0.0", "2130706433", "localhost"):
            answer = mallory.post("/v1/webhooks", json={"url": f"https://{host}/x"})
            assert answer.status_code == 422, host


class TestApi8SecurityMisconfiguration:
    def test_no_other_site_may_read_unless_it_is_named(self, mallory, two):
        headers = {"Origin": "https://other.example"}
        assert (
            "access-control-allow-origin" not in mallory.get("/v1/players", headers=headers).headers
        )
        named = replace(Settings(two[0]), cors_origins=("https://other.example",))
        with client_of(make_app(named)) as client:
            asked = client.as_(two[1]()).get("/v1/players", headers=headers)
            preflight = headers | {
                "Access-Control-Request-Method": "PATCH",
                "Access-Control-Request-Headers": "authorization, if-match, prefer",
            }
            allowed = client.request("OPTIONS", "/v1/players/pbela1", headers=preflight)
        assert asked.headers["access-control-allow-origin"] == "https://other.example"
        assert "Retry-After" in asked.headers["access-control-expose-headers"]
        assert allowed.status_code == 200

    def test_answers_are_not_guessed_at_and_not_kept_by_others(self, mallory):
        answer = mallory.get("/v1/players/pbela1/carry-curves")
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"].startswith("private")

    def test_an_unexpected_error_tells_nothing_of_the_inside(self, two, monkeypatch):
        def broken(*_):
            raise RuntimeError("secret of the inside")

        monkeypatch.setattr("api.player_cards.PlayerCards.ids", broken)
        with client_of(make_app(Settings(two[0], watch_s=60))) as client:
            answer = client.quiet().get("/v1/players")
        assert answer.status_code == 500
        assert answer.json()["code"] == "unexpected"
        assert "secret" not in answer.text
        assert "Traceback" not in answer.text

    @pytest.mark.parametrize(
        "path",
        [
            "/v1/players/..%2f..%2fetc%2fpasswd",
            "/v1/players/%2e%2e/",
            "/v1/players/p%00anna1",
            "/v1/../../etc/passwd",
            "/static/..%2f..%2fapi%2fkeys.py",
            "/docs.css/../keys.py",
        ],
    )
    def test_tricks_with_paths_lead_nowhere(self, mallory, path):
        assert mallory.get(path).status_code in {401, 404, 422}

    def test_a_file_name_is_only_a_name(self, mallory, two):
        name = "..%2F..%2F..%2Ftmp%2Fevil%0d%0aSet-Cookie:a.csv"
        body = (
            b"Shot,Local time,Club,Club speed (m/s),Carry (m)\n1,2026-05-04 17:00:00,SW,8.0,7.0\n"
        )
        path = f"/v1/imports?player_id=pbela1&name={name}"
        job = mallory.post(path, content=body, headers=CSV).json()
        seen = mallory.get(f"/v1/imports/{job['import_id']}").json()
        assert seen["source_name"] == "evilSet-Cookie:a.csv"
        assert not list(two[0].rglob("evil*"))

    def test_header_text_is_not_sent_back(self, mallory):
        answer = mallory.get("/healthz", headers={"X-Request-Id": "a b c d e f g h: evil"})
        assert "evil" not in str(answer.headers)


class TestApi9ImproperInventoryManagement:
    def test_every_route_for_apps_is_described_and_has_a_version(self, app):
        described = set(app.openapi()["paths"])
        served = {route.path for route in app.routes if getattr(route, "include_in_schema", False)}
        assert {path for path in served if path.startswith("/v1/")} <= described
        assert {path for path in described if not path.startswith("/v1/")} == {
            "/healthz",
            "/readyz",
        }


class TestApi10UnsafeConsumptionOfApis:
    def test_a_cell_of_somebody_elses_file_stays_text(self, mallory):
        body = (
            b"Shot,Local time,Club,Club speed (m/s),Carry (m),Note\n"
            b"1,2026-05-04 17:00:00,SW,8.0,7.0,\"=cmd|' /C calc'!A0\"\n"
        )
        job = mallory.post("/v1/imports?player_id=pbela1", content=body, headers=CSV).json()
        assert job["state"] == "finished", job
        text = mallory.get("/v1/players/pbela1/shots?format=csv&fields=note").text
        assert text.splitlines()[1].lstrip('"').startswith("'=cmd")

    def test_a_webhooks_answer_is_neither_followed_nor_read_whole(self):
        assert webhook_send.READ_BYTES <= 4096
        assert webhook_send.TIMEOUT_S <= 30
