"""A share link leads to the report it was made for."""

import pytest

from api.share_links import REPORTS

MARK = {
    "entry_id": "phone-0001",
    "at_utc": "2026-05-04T17:30:00Z",
    "ball_number": 1,
    "leave": "3 ft",
    "clock": 5,
}


@pytest.mark.parametrize("report", REPORTS)
def test_every_report_that_can_be_shared_is_shown(client, report):
    assert client.post("/v1/players/pada1/marks", json={"marks": [MARK]}).status_code == 201
    body = {"player_id": "pada1", "report": report, "days": 3}
    link = client.post("/v1/share-links", json=body).json()
    answer = client.get(link["address"])
    assert (answer.status_code, answer.json()["player_id"]) == (200, "pada1")
    client.delete(f"/v1/share-links/{link['link_id']}")
    assert client.get(link["address"]).status_code == 404
