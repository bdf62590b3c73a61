"""What every page has: the reader, the frame around the content, safe headers, errors as pages.

`Reader` is the one thing a page route asks for. It knows who is asking and what they may see, how
they read, and it renders a template inside the common frame.
"""

from collections.abc import Callable, Coroutine, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, Request
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute
from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.responses import HTMLResponse, RedirectResponse, Response

from analytics.scored_rules import known_rules
from analytics.scored_test import Rules
from api.access import Caller
from api.deps import Ask
from api.errors import DOMAIN, Problem, not_found, problem_of
from api.page_cache import MOVED, Asked, may_be_kept, page_cache, state_of
from api.page_session import form_token, keep_form_token, require_own_form, set_cookie
from api.page_view import COOKIE, View, view_of
from api.player_cards import PlayerCard
from api.service import Service, service_of
from api.static_files import address
from schemas.store_paths import PLAYER_ID

CONTENT_SECURITY_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; "
    "frame-ancestors 'none'; report-uri /csp-report"
)
TOKEN_PLACE = "form-token-goes-here"
MAIN_NAV = ("today", "players", "imports", "doubts", "more")
PLAYER_NAV = (
    "today", "player", "card", "bracket", "tempo", "landing", "leave", "plan", "test", "progress",
)  # fmt: skip
Handler = Callable[[Request], Coroutine[Any, Any, Response]]  # the framework's own type


class NeedsKey(Exception):
    """Nobody known is asking: the page to give a key comes first."""


@dataclass(frozen=True)
class Reader:
    """Who reads a page, and how."""

    request: Request
    service: Service
    caller: Caller
    view: View

    def say(self, key: str, **places: object) -> str:
        """A text in the reader's language."""
        return self.view.texts.say(key, **places)

    def cards(self) -> list[PlayerCard]:
        """The players who exist for the reader, by name."""
        players = self.service.players
        found = [card for name in players.ids() if (card := players.get(name)) is not None]
        seen = [card for card in found if self.caller.sees(card)]
        return sorted(seen, key=lambda card: (card.display_name.casefold(), card.player_id))

    def card(self, player_id: str) -> PlayerCard:
        """One player. Raises Problem 404 for one who does not exist for the reader."""
        card = self.service.players.get(player_id) if PLAYER_ID.fullmatch(player_id) else None
        if card is None or not self.caller.sees(card):
            raise not_found("such player", self.say("problem.see_players"))
        return card

    def shows(self, cards: Iterable[PlayerCard]) -> None:
        """Say whom a page of the whole book tells of: for the log of reads."""
        self.request.state.shown = [card.player_id for card in cards]

    def rules(self, player: PlayerCard) -> dict[str, Rules]:
        """The scored tests a player may be scored by, by name@version."""
        return known_rules(self.service.settings.store, player.coach)

    def needs(self, scope: str) -> None:
        """Raises Problem 403 when the reader's key lacks a scope."""
        if not self.caller.may(scope):
            raise Problem(
                403,
                "scope_missing",
                self.say("problem.scope", scope=scope),
                self.say("problem.scope_mend"),
            )

    def ask(self, player_id: str | None = None) -> Ask:
        """Asks the store, in a thread, about one player or all."""
        return Ask(self.service, player_id, None)

    def page(
        self,
        template: str,
        tab: str,
        player: PlayerCard | None = None,
        status: int = 200,
        **content: object,
    ) -> Response:
        """The template rendered in the frame."""
        body = self.html(template, tab, player, **content)
        self.request.state.page_body = body
        return self.respond(body, status)

    def html(
        self, template: str, tab: str, player: PlayerCard | None = None, **content: object
    ) -> str:
        """The page's text, with the place of the form token still open."""
        return (
            environment()
            .get_template(template)
            .render(
                say=self.say,
                view=self.view,
                tab=tab,
                player=player,
                caller=self.caller,
                main_nav=MAIN_NAV,
                player_nav=PLAYER_NAV,
                path=self.request.url.path,
                token=TOKEN_PLACE,
                **content,
            )
        )

    def respond(self, body: str, status: int = 200) -> Response:
        """A rendered page as an answer, with the reader's own form token in place."""
        token = form_token(self.request)
        response = HTMLResponse(body.replace(TOKEN_PLACE, token), status)
        keep_form_token(response, self.request, token)
        return response

    async def form(self) -> Mapping[str, str]:
        """The fields of a form sent from one of our own pages. Raises Problem 403 otherwise."""
        async with self.request.form() as form:
            fields = {name: value for name, value in form.items() if isinstance(value, str)}
        require_own_form(self.request, fields.get("token", ""))
        return fields

    def taken(self, path: str) -> Response:
        """The answer to an entry: 201 to the page's own sender, else where to look now."""
        return Response(status_code=201) if "x-entry" in self.request.headers else self.go(path)

    def go(self, path: str) -> Response:
        """Where to look after a form was taken."""
        return RedirectResponse(path, 303)


def reader_of(request: Request) -> Reader:
    """The reader of a page. Raises NeedsKey when nobody known is asking."""
    caller = request.scope.get("state", {}).get("caller")
    if caller is None:
        raise NeedsKey
    return Reader(request, service_of(request), caller, view_of_request(request))


ReaderOf = Annotated[Reader, Depends(reader_of)]


def view_of_request(request: Request) -> View:
    """The view the browser asks for."""
    return view_of(request.cookies, request.headers.get("accept-language", ""))


class PageRoute(APIRoute):
    """A route whose errors are pages and whose answers carry the policy."""

    def get_route_handler(self) -> Handler:
        """The framework's handler with pages for errors and safe headers."""
        inner = super().get_route_handler()

        async def handle(request: Request) -> Response:
            try:
                response = await _kept_or_new(request, inner)
            except NeedsKey:
                response = RedirectResponse(f"/login?next={quote(request.url.path)}", 303)
            except (*DOMAIN, RequestValidationError) as error:
                response = problem_page(request, error)
            return _guarded(response)

        return handle


def _guarded(response: Response) -> Response:
    response.headers.setdefault("Content-Security-Policy", CONTENT_SECURITY_POLICY)
    response.headers.setdefault("Cache-Control", "private, no-cache")
    return response


async def _kept_or_new(request: Request, inner: Handler) -> Response:
    """The page from memory when it still holds, else rendered anew."""
    player_id = str(request.path_params.get("player_id", ""))
    if request.method != "GET" or not may_be_kept(request.url.path, player_id):
        return await inner(request)
    reader = reader_of(request)
    players, cache = reader.service.players, page_cache(request)
    asked = Asked(request.url.path, request.url.query, player_id, reader.caller, reader.view)
    state = state_of(players, player_id)
    used = not request.scope["state"].get("refreshing")
    if used:
        cache.last = asked
    kept = cache.get(asked, state) if state is not None else None
    if kept is not None and (not player_id or reader.card(player_id)):
        request.state.shown = cache.shown(asked)
        return _remember_player(reader, player_id, reader.respond(kept))
    response = await inner(request)
    body = getattr(request.state, "page_body", None)
    if response.status_code != 200 or body is None:
        return response
    if state is not None and state == state_of(players, player_id):
        shown = getattr(request.state, "shown", [])
        cache.put(asked, state, body, used=used, shown=shown)
    elif used:
        cache.put(asked, MOVED, "")
    return _remember_player(reader, player_id, response)


def _remember_player(reader: Reader, player_id: str, response: Response) -> Response:
    """The player looked at last is the one that opens next time."""
    if player_id and reader.view.player != player_id:
        view = replace(reader.view, player=player_id)
        set_cookie(response, reader.request, COOKIE, view.cookie())
    return response


def problem_page(request: Request, error: Exception) -> Response:
    """An error in words, with what to do."""
    problem = problem_of(error)
    problem.reason = problem.reason.replace("query.", "")
    caller = request.scope.get("state", {}).get("caller")
    reader = Reader(request, service_of(request), caller or NOBODY, view_of_request(request))
    response = reader.page("problem.html", "", status=problem.status, problem=problem)
    response.headers.update(problem.headers)
    return _guarded(response)


NOBODY = Caller("", "", frozenset(), frozenset())


def page_router() -> APIRouter:
    """A router of pages, outside the API's description."""
    return APIRouter(route_class=PageRoute, include_in_schema=False)


@cache
def environment() -> Environment:
    """The templates; everything is escaped, an unknown name is a mistake."""
    found = Environment(
        loader=PackageLoader("api", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.globals["static"] = address
    return found
