"""What the outer faces can refuse, and the one map from an error to a problem answer (RFC 9457).

ApiError
└── Problem   a request that cannot be answered, with its HTTP status

Every error of the service leaves as `application/problem+json` with `type, title, status, detail`
and, as extensions, a stable `code`, `mend` (what to do about it) and, where they exist, `file, row,
column, value`. `errors` lists each fault of a request that did not fit its description.
"""

import json
import logging
import re
from collections.abc import Callable, Mapping, Sequence
from http import HTTPStatus

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import Response

from analytics import errors as analytics_errors
from api.methods import methods_of
from ingest import errors as ingest_errors

logger = logging.getLogger(__name__)

MEDIA_TYPE = "application/problem+json"
PageOfProblem = Callable[[Request, Exception], Response]
"""How a problem looks to a person; the pages put theirs into `app.state.problem_page`."""


class ApiError(Exception):
    """A request that cannot be served: why, and what to do."""

    code = "api"

    def __init__(self, reason: str, mend: str) -> None:
        self.reason = reason
        self.mend = mend
        super().__init__(f"{reason} Mend: {mend}")


class Problem(ApiError):
    """A request that cannot be answered, said by the service itself.

    Args:
        status: HTTP status.
        code: stable code of the reason.
        detail: what is wrong, for a person.
        mend: what to do about it.
        headers: headers the answer must carry.
        extra: further members of the problem document.
    """

    def __init__(
        self,
        status: int,
        code: str,
        detail: str,
        mend: str,
        headers: Mapping[str, str] | None = None,
        **extra: object,
    ) -> None:
        super().__init__(detail, mend)
        self.status = status
        self.code = code
        self.headers = dict(headers or {})
        self.extra = extra

    def response(self) -> Response:
        """The problem as an answer."""
        document = problem_document(self.status, self.code, self.reason, self.mend, **self.extra)
        headers = {"Cache-Control": "no-store"} | self.headers
        return Response(json.dumps(document), self.status, headers, MEDIA_TYPE)


OVER_HTTP = {
    "curve": "GET /v1/players/{player_id}/carry-curves",
    "export": "GET /v1/players/{player_id}/shots",
    "homework --player NAME": "GET /v1/players/{player_id}/homework",
    "imports": "GET /v1/imports?player_id=…",
    "imports --undone": "GET /v1/imports?player_id=…&undone=true",
    "players": "GET /v1/players",
    "tests --json": "GET /v1/tests",
}
"""What an app does in place of a command that a mend names."""
COMMAND = re.compile(rf"`carrybook ({'|'.join(map(re.escape, OVER_HTTP))})`")

DOMAIN = (ApiError, ingest_errors.IngestError, analytics_errors.AnalyticsError)

STATUS: dict[type[Exception], int] = {
    analytics_errors.NoSuchPlayer: 404,
    analytics_errors.NoSuchClub: 404,
    analytics_errors.NoSuchTest: 404,
    analytics_errors.NoSuchHomework: 404,
    analytics_errors.NothingYet: 404,
    analytics_errors.RowsMoved: 503,
    analytics_errors.TooMuchAtOnce: 503,
    analytics_errors.OutOfRange: 422,
    analytics_errors.BadQuestion: 422,
    analytics_errors.AnalyticsError: 422,
    ingest_errors.TooLarge: 413,
    ingest_errors.UnknownPlayer: 404,
    ingest_errors.UnknownImport: 404,
    ingest_errors.RulesTaken: 409,
    ingest_errors.WhoseRows: 409,
    ingest_errors.StoreNotWritable: 503,
    ingest_errors.IngestError: 422,
    ApiError: 422,
}


def problem_document(
    status: int, code: str, detail: str, mend: str, **extra: object
) -> dict[str, object]:
    """The members of a problem; members without a value are left out."""
    document: dict[str, object] = {
        "type": "/docs#problems",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "code": code,
        "detail": detail,
        "mend": mend,
    }
    return document | {name: value for name, value in extra.items() if value is not None}


def not_found(what: str, mend: str = "Check the address; list what there is first.") -> Problem:
    """The same answer for what does not exist and for what the caller may not know of."""
    return Problem(404, "not_found", f"There is no {what} here.", mend)


def from_domain(error: Exception) -> Problem:
    """The problem for an error of `ingest` or `analytics`, with its own code, reason and mend."""
    status = next(STATUS[kind] for kind in type(error).__mro__ if kind in STATUS)
    extra = {name: getattr(error, name, None) for name in ("file", "row", "column", "value")}
    text = str(getattr(error, "reason", error))
    code, mend = str(getattr(error, "code", "error")), str(getattr(error, "mend", ""))
    return Problem(status, code, text, mend, **extra)


def _http_problem(error: HTTPException) -> Problem:
    code = HTTPStatus(error.status_code).phrase.lower().replace(" ", "_").replace("-", "_")
    mends = {
        404: "Check the address against /openapi.json.",
        405: "Use one of the methods in the Allow header.",
        413: "Send less at once.",
        400: "Send a body that is what its Content-Type says.",
    }
    mend = mends.get(error.status_code, "See /docs.")
    return Problem(error.status_code, code, str(error.detail), mend, error.headers)


def _fault(error: Mapping[str, object]) -> dict[str, str]:
    place = error.get("loc", ())
    parts = [str(part) for part in place] if isinstance(place, Sequence) else []
    return {
        "where": ".".join(parts),
        "what": str(error.get("msg", "")).removeprefix("Value error, "),
    }


def _validation_problem(error: RequestValidationError) -> Problem:
    kinds = {str(fault["type"]) for fault in error.errors()}
    told = (_fault(fault) for fault in error.errors())
    faults = list({(fault["where"], fault["what"]): fault for fault in told}.values())
    if "json_invalid" in kinds:
        mend = "Send well-formed JSON in UTF-8."
        return Problem(400, "bad_json", "The body is not JSON.", mend, errors=faults)
    detail = "; ".join(f"{fault['where']}: {fault['what']}" for fault in faults[:3])
    if all(fault["where"].startswith("path.") for fault in faults):
        mend = "Check the address; list what there is first."
        return Problem(404, "not_found", f"Nothing can be at this address: {detail}", mend)
    mend = "Send what /openapi.json describes for this operation."
    return Problem(422, "does_not_fit", detail, mend, errors=faults)


def _unexpected() -> Problem:
    detail = "Something went wrong here; it has been logged under the request's id."
    return Problem(500, "unexpected", detail, "Try again; report the X-Request-Id if it stays.")


def problem_of(error: Exception) -> Problem:
    """The problem that answers `error`."""
    if isinstance(error, Problem):
        return error
    if isinstance(error, RequestValidationError):
        return _validation_problem(error)
    if isinstance(error, HTTPException):
        return _http_problem(error)
    if isinstance(error, DOMAIN):
        return from_domain(error)
    return _unexpected()


def _for_a_person(request: Request) -> bool:
    """Whether a browser asks for a page: it says so, and the API is elsewhere."""
    asks = "text/html" in request.headers.get("accept", "")
    return asks and not request.url.path.startswith("/v1/")


def _writes_for_an_app(request: Request) -> bool:
    """Whether this is a write under /v1.

    Such a request fits its description, or it would not have come so far: what is wrong with it is
    how it goes with what the store holds, which is 409. 422 is kept for what does not fit.
    """
    return request.method != "GET" and request.url.path.startswith("/v1/")


async def _answer(request: Request, error: Exception) -> Response:
    problem = problem_of(error)
    domain = isinstance(error, DOMAIN) and not isinstance(error, Problem)
    if problem.status == 422 and domain and _writes_for_an_app(request):
        problem.status = 409
    if domain and request.url.path.startswith("/v1/"):
        problem.mend = COMMAND.sub(lambda found: OVER_HTTP[found[1]], problem.mend)
    if problem.status == 405:
        problem.headers["Allow"] = ", ".join(methods_of(request.scope))
    if problem.status == 500:  # said from outside the gate, which names all others
        request_id: bytes = request.scope.get("state", {}).get("request_id", b"")
        problem.headers["X-Request-Id"] = request_id.decode("latin-1")
        logger.error(
            "unexpected",
            exc_info=error,
            extra={"fields": {"request_id": request_id.decode("latin-1")}},
        )
    return answer_of(request, problem)


def answer_of(request: Request, problem: Problem) -> Response:
    """A problem as its document, or as a page for a person with a browser."""
    page: PageOfProblem | None = getattr(request.app.state, "problem_page", None)
    if page is not None and _for_a_person(request):
        return page(request, problem)
    return problem.response()


def install(app: FastAPI) -> None:
    """Make every known error of `app` leave as a problem, an unexpected one too."""
    for kind in (*DOMAIN, RequestValidationError, HTTPException, Exception):
        app.add_exception_handler(kind, _answer)
