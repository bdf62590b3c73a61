"""A thin client of carrybook's API in one file: standard library only, copy it into your app.

    book = Carrybook("http://127.0.0.1:8000", key="cb_…")
    for player in book.players():
        for curve in book.carry_curves(player["player_id"])["curves"]:
            print(player["display_name"], curve["club"], curve["state"])

Answers are remembered with their ETag and asked for again only when they changed. A refusal is
raised as `Refused`, with the service's stable `code` and its advice (`mend`).
"""

import json
import time
import urllib.error
import urllib.parse
import urllib.request
import uuid
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.client import HTTPResponse
from typing import Any, NotRequired, TypedDict, cast


class Player(TypedDict):
    """Who a player is."""

    player_id: str
    display_name: str
    handedness: str
    age_band: str
    zone: str


class Answer(TypedDict):
    """A number with unit, interval, counts and state (`clear`, `leaning`, `too_early`)."""

    value: float | None
    low: float | None
    high: float | None
    unit: str
    n_shots: int
    n_sessions: int
    state: str
    level: float
    need: str
    as_of: str
    fit_version: str


class SpeedFor(TypedDict):
    """The speed a carry needs."""

    player_id: str
    club: str
    carry_m: float
    speed: Answer
    one_shot: Answer


class Change(TypedDict):
    """One change of the feed."""

    seq: int
    at: str
    type: str
    player_id: str
    import_id: str | None


class Job(TypedDict):
    """Work that was asked for."""

    job_id: str
    state: str
    import_id: NotRequired[str | None]
    new: NotRequired[bool | None]
    problem: NotRequired[dict[str, Any] | None]


class Refused(Exception):
    """The service said no: `status`, stable `code`, and what to do (`mend`)."""

    def __init__(self, status: int, problem: dict[str, Any]) -> None:
        self.status = status
        self.code = str(problem.get("code", ""))
        self.mend = str(problem.get("mend", ""))
        super().__init__(f"{status} {self.code}: {problem.get('detail', '')} {self.mend}".strip())


@dataclass
class Carrybook:
    """One service and one key."""

    address: str
    key: str
    timeout_s: float = 30.0
    _kept: dict[str, tuple[str, Any, str | None]] = field(default_factory=dict)

    def players(self) -> Iterator[Player]:
        """Every player the key may see, page by page."""
        path: str | None = "/v1/players"
        while path:
            body, link = self._get(path)
            yield from cast("list[Player]", body["items"])
            path = link

    def profile(self, player_id: str) -> dict[str, Any]:
        """Everything a report about one player needs."""
        return self._answer(player_id, "profile")

    def carry_curves(self, player_id: str) -> dict[str, Any]:
        """Carry against speed, per club."""
        return self._answer(player_id, "carry-curves")

    def speed_for(self, player_id: str, club: str, carry_m: float) -> SpeedFor:
        """The speed a carry in metres needs."""
        found = self._answer(player_id, f"carry-curves/{club}/speed-for?carry_m={carry_m:g}")
        return cast("SpeedFor", found)

    def brackets(self, player_id: str) -> dict[str, Any]:
        """How rehearsals and shots bracketed the window."""
        return self._answer(player_id, "brackets")

    def about(self, player_id: str, resource: str, **query: str | float) -> dict[str, Any]:
        """Any other answer about a player, as `about(id, "leaves", club="SW")`."""
        asked = f"?{urllib.parse.urlencode(query)}" if query else ""
        return self._answer(player_id, resource + asked)

    def rows(self, player_id: str, table: str = "shots", form: str = "parquet") -> bytes:
        """Every row of `shots` or `swings`, as parquet, arrow, csv or json."""
        path = f"/v1/players/{player_id}/{table}?format={form}"
        with self._open("GET", path) as answer:
            return answer.read()

    def changes(self, since: int) -> tuple[list[Change], int]:
        """What changed after a cursor, and the cursor for next time."""
        body, _ = self._get(f"/v1/changes?since={since}")
        return cast("list[Change]", body["items"]), int(body["cursor"])

    def send(self, player_id: str, name: str, data: bytes) -> Job:
        """Send an export; returns the job. Safe to call again after a broken connection."""
        query = urllib.parse.urlencode({"player_id": player_id, "name": name})
        headers = {"Content-Type": "text/csv", "Idempotency-Key": str(uuid.uuid4())}
        with self._open("POST", f"/v1/imports?{query}", data, headers) as answer:
            return cast("Job", json.load(answer))

    def wait(self, job: Job, seconds: float = 60.0) -> Job:
        """The job once it is done."""
        end = time.monotonic() + seconds
        while job["state"] in {"waiting", "running"} and time.monotonic() < end:
            time.sleep(0.2)
            body, _ = self._get(f"/v1/jobs/{job['job_id']}")
            job = cast("Job", body)
        return job

    def _answer(self, player_id: str, rest: str) -> dict[str, Any]:
        body, _ = self._get(f"/v1/players/{player_id}/{rest}")
        return cast("dict[str, Any]", body)

    def _get(self, path: str) -> tuple[Any, str | None]:
        etag, body, link = self._kept.get(path, ("", None, None))
        headers = {"If-None-Match": etag} if etag else {}
        try:
            with self._open("GET", path, headers=headers) as answer:
                body, link = json.load(answer), _next(answer.headers.get("Link", ""))
                if answer.headers.get("ETag"):
                    self._kept[path] = (answer.headers["ETag"], body, link)
                return body, link
        except urllib.error.HTTPError as error:
            if error.code == 304:
                return body, link
            raise

    def _open(
        self,
        method: str,
        path: str,
        data: bytes | None = None,
        headers: dict[str, str] | None = None,
    ) -> HTTPResponse:
        request = urllib.request.Request(self.address + path, data, method=method)
        request.add_header("Authorization", f"Bearer {self.key}")
        for name, value in (headers or {}).items():
            request.add_header(name, value)
        try:
            return cast("HTTPResponse", urllib.request.urlopen(request, timeout=self.timeout_s))
        except urllib.error.HTTPError as error:
            if error.code == 304:
                raise
            with error:
                raise Refused(error.code, json.loads(error.read() or b"{}")) from error


def _next(link: str) -> str | None:
    """The address of the next page in a Link header."""
    address, _, relation = link.partition(">")
    return address.removeprefix("<") if 'rel="next"' in relation else None
