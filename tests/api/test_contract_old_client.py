"""What version 1 promised is kept: an old client does not notice that the server is newer."""

import copy
import json

from tests.api.contract.description import PROMISE, broken, current

OLD = json.loads(PROMISE.read_text())


def test_the_description_keeps_every_promise():
    assert broken(OLD, current()) == []


def changed(change):
    newer = copy.deepcopy(OLD)
    change(newer)
    return broken(OLD, newer)


def test_what_would_break_an_old_client_is_noticed():
    players = "/v1/players"
    body = "PlayerBody"
    assert changed(lambda d: d["paths"].pop(players))
    assert changed(lambda d: d["schemas"][body]["properties"].pop("player_id"))
    assert changed(lambda d: d["schemas"][body]["required"].remove("player_id"))
    assert changed(lambda d: d["schemas"][body]["properties"]["zone"].update(type="integer"))
    assert changed(lambda d: d["schemas"]["NewKey"]["required"].append("expires_at"))
    needed = {"required": True, "type": "string"}
    assert changed(lambda d: d["paths"][players]["get"]["parameters"].update({"query x": needed}))


def test_what_an_old_client_does_not_notice_is_allowed():
    optional = {"required": False, "type": "string"}
    assert not changed(lambda d: d["paths"].update({"/v1/new": {}}))
    assert not changed(
        lambda d: d["schemas"]["PlayerBody"]["properties"].update(x={"type": "string"})
    )
    parameters = ("/v1/players", "get", "parameters")
    assert not changed(
        lambda d: d["paths"][parameters[0]][parameters[1]][parameters[2]].update(
            {"query x": optional}
        )
    )
