"""A query parameter that an operation does not take is refused by name, everywhere under /v1."""

from pathlib import Path

import pytest
from fastapi.routing import APIRoute

from api.app import found_routers, make_app
from api.settings import Settings
from ingest.hand_entry import enter
from tests.api.conftest import shot_rows

ROUTES = [
    (method, route.path_format)
    for router in found_routers()
    for route in router.routes
    if isinstance(route, APIRoute) and route.path_format.startswith("/v1/")
    for method in route.methods or ()
]
EXAMPLES = {
    parameter["name"]: str(parameter["example"])
    for item in make_app(Settings(Path("nowhere"))).openapi()["paths"].values()
    for operation in item.values()
    for parameter in operation.get("parameters", [])
    if parameter["in"] == "path"
} | {"player_id": "pada1"}


@pytest.mark.parametrize(("method", "path"), ROUTES, ids=lambda text: text)
def test_a_parameter_nobody_knows_is_refused(client, method, path):
    if path == "/v1/shared/{token}":
        return  # see the link below
    answer = client.request(method, path.format(**EXAMPLES) + "?colour=red")
    assert answer.status_code == 422, answer.text
    assert (answer.json()["code"], "colour" in answer.json()["detail"]) == (
        "unknown_parameter",
        True,
    )


def test_a_misspelt_filter_is_told_the_right_word(client):
    problem = client.get("/v1/players/pada1/shots?clubs=SW").json()
    assert problem["mend"].startswith("Did you mean club? This operation takes after, as_of, club,")
    assert client.get("/v1/players/pada1/shots?club=SW").status_code == 200


def test_the_members_of_a_question_are_known(client, store):
    enter(store, "pada1", "shots", shot_rows(40))
    plan = "/v1/players/pada1/shot-plan?edge_m=3&hole_m=13&green_speed_ft=9.5"
    assert client.get(plan).status_code == 200
    assert client.get(f"{plan}&slope=1").json()["mend"].startswith("Did you mean slope_deg?")
    assert client.get(f"{plan}&wet=true&wet=false").json()["code"] == "parameter_repeated"


def test_a_filter_said_twice_is_not_half_obeyed(client):
    answer = client.get("/v1/players/pada1/shots?club=SW&club=PW")
    assert (answer.status_code, answer.json()["code"]) == (422, "parameter_repeated")
    units = "unit=carry_m=m&unit=club_speed_mps=m/s"
    sent = client.post(
        f"/v1/imports?player_id=pada1&{units}", content=b"a", headers={"Content-Type": "text/csv"}
    )
    assert sent.status_code == 202


def test_a_known_question_asked_again_with_a_misspelt_filter_is_not_answered_from_memory(client):
    assert client.get("/v1/players/pada1/profile").status_code == 200
    assert client.get("/v1/players/pada1/profile?field=curves").status_code == 422
    assert client.get("/v1/players/pada1/profile?field=curves").status_code == 422


def test_whoever_opens_a_link_is_not_blamed_for_what_a_messenger_added(client):
    body = {"player_id": "pada1", "report": "profile", "days": 3}
    address = client.post("/v1/share-links", json=body).json()["address"]
    assert client.get(f"{address}?sent_by=messenger").status_code == 200


@pytest.mark.parametrize("resource", ["carry-card.pdf", "carry-card.csv", "lesson-sheet.pdf"])
def test_a_form_without_members_has_no_fields(client, store, resource):
    enter(store, "pada1", "shots", shot_rows(25))
    answer = client.get(f"/v1/players/pada1/{resource}?fields=player_id")
    assert (answer.status_code, answer.json()["code"]) == (422, "unknown_parameter")
    assert "fields" not in answer.json()["mend"]
