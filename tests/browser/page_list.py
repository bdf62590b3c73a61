"""Every page, by name: what the sweeps open and the screenshots show."""

TOBIAS, WILMA, ARNE, LIO, PETRA = "q3fk82", "h7wd41", "t9bx26", "c5zn73", "v2mj58"

PAGES = {
    "today": f"/players/{TOBIAS}/today",
    "players": "/players",
    "player": f"/players/{PETRA}",
    "carry-card": f"/players/{TOBIAS}/card?club=SW&carry=24",
    "bracket": f"/players/{TOBIAS}/bracket",
    "tempo": f"/players/{WILMA}/tempo",
    "pairing": f"/players/{TOBIAS}/pairing?session={TOBIAS}:2025-10-29",
    "landing": f"/players/{ARNE}/landing",
    "leave": f"/players/{ARNE}/leave",
    "marks": f"/players/{TOBIAS}/marks",
    "conditions": f"/players/{TOBIAS}/conditions",
    "plan": f"/players/{TOBIAS}/plan?edge=18&hole=41&speed=9.5&slope=1.4&fall=160",
    "test": f"/players/{PETRA}/test",
    "progress": f"/players/{LIO}/progress",
    "sheet": f"/players/{PETRA}/sheet",
    "doubts": "/doubts",
    "imports": "/imports",
    "share": "/share",
    "settings": "/settings",
    "more": "/more",
    "login": "/login",
    "tests": "/tests",
    "test-change": "/tests/nine_station_hole_out/change",
}

REFUSED = {"not-found": 404, "no-such-address": 404, "not-understood": 422}
"""Pages of `furnished.addresses` that say what did not work, with their status."""
