"""A share link leads to the report it was made for."""

import pytest

from api.share_links import REPORTS


@pytest.mark.parametrize("report", REPORTS)
def test_every_report_that_can_be_shared_is_shown(client, report):
    body = {"player_id": "pada1", "report": report, "days": 3}
    link = client.post("/v1/share-links", json=body).json()
    answer = client.get(link["address"])
    assert (answer.status_code, answer.json()["player_id"]) == (200, "pada1")
    client.delete(f"/v1/share-links/{link['link_id']}")
    assert client.get(link["address"]).status_code == 404
