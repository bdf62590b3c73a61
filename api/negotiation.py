"""Which of several forms a reader wants: `format=` if given, else the Accept header (RFC 9110)."""

from collections.abc import Sequence

from starlette.types import Scope

from api.errors import Problem
from api.row_formats import RowFormat


def choose(formats: Sequence[RowFormat], named: str | None, accept: str) -> RowFormat:
    """The form to answer in; the first of `formats` where the reader has no preference.

    Raises:
        Problem: 406 when none of the forms is acceptable.
    """
    if named is not None:
        return next(form for form in formats if form.name == named)
    ranges = _ranges(accept or "*/*")
    weighed = [(_weight(form.media_type, ranges), form) for form in formats]
    best = max(weight for weight, _ in weighed)
    if best <= 0:
        offered = ", ".join(form.media_type for form in formats)
        raise Problem(406, "not_acceptable", "No such form here.", f"Accept one of: {offered}.")
    return next(form for weight, form in weighed if weight == best)


def drop_refused_codings(scope: Scope, headers: dict[bytes, bytes]) -> None:
    """Take out of Accept-Encoding what the reader refuses by `q=0`; who reads on looks for names.

    Changes the header in `scope` and in `headers`, which tells the same by name.
    """
    name = b"accept-encoding"
    if b";" not in headers.get(name, b""):
        return
    ranges = _ranges(headers[name].decode("latin-1"))
    headers[name] = ", ".join(coding for coding, quality in ranges if quality > 0).encode("latin-1")
    others = [pair for pair in scope["headers"] if pair[0] != name]
    scope["headers"] = [*others, (name, headers[name])]


def _ranges(accept: str) -> list[tuple[str, float]]:
    found = []
    for part in accept.split(",")[:32]:
        media, *parameters = (piece.strip().lower() for piece in part.split(";"))
        quality = next((p[2:] for p in parameters if p.startswith("q=")), "1")
        found.append((media, _number(quality)))
    return found


def _number(text: str) -> float:
    try:
        return min(max(float(text), 0.0), 1.0)
    except ValueError:
        return 0.0


def _weight(media_type: str, ranges: list[tuple[str, float]]) -> float:
    """Quality of a media type under the most specific range that covers it."""
    main = media_type.partition("/")[0]
    for covering in (media_type, f"{main}/*", "*/*"):
        found = [quality for media, quality in ranges if media == covering]
        if found:
            return max(found)
    return 0.0
