"""A synchronous client over the application itself, for tests: no socket, lifespan included."""

from collections.abc import Iterator
from contextlib import contextmanager

import httpx
from anyio.from_thread import BlockingPortal, start_blocking_portal
from fastapi import FastAPI


class Client:
    """Requests to `app` from `address`, with `headers` on each."""

    def __init__(self, portal: BlockingPortal, app: FastAPI, address: str = "127.0.0.1") -> None:
        self._portal = portal
        self._app = app
        self._address = address
        self.headers: dict[str, str] = {}
        self._raise = True

    def quiet(self) -> "Client":
        """The same, but an unexpected error is answered as a server would, not raised here."""
        self._raise = False
        return self

    def as_(self, key: str | None, address: str | None = None) -> "Client":
        """The same application asked with another key, or from another address."""
        other = Client(self._portal, self._app, address or self._address)
        other.headers = {"Authorization": f"Bearer {key}"} if key else {}
        return other

    def request(self, method: str, path: str, **options) -> httpx.Response:
        """One request, answered."""

        async def send() -> httpx.Response:
            transport = httpx.ASGITransport(
                self._app, raise_app_exceptions=self._raise, client=(self._address, 50000)
            )
            async with httpx.AsyncClient(
                transport=transport, base_url="http://localhost:8000", headers=self.headers
            ) as client:
                return await client.request(method, path, **options)

        return self._portal.call(send)

    def get(self, path: str, **options) -> httpx.Response:
        """GET."""
        return self.request("GET", path, **options)

    def post(self, path: str, **options) -> httpx.Response:
        """POST."""
        return self.request("POST", path, **options)

    def delete(self, path: str, **options) -> httpx.Response:
        """DELETE."""
        return self.request("DELETE", path, **options)


@contextmanager
def client_of(app: FastAPI) -> Iterator[Client]:
    """A client of `app` between its start and its end."""
    with start_blocking_portal() as portal, portal.wrap_async_context_manager(_running(app)):
        yield Client(portal, app)


class _running:  # noqa: N801 -- reads as a phrase where it is used
    def __init__(self, app: FastAPI) -> None:
        self._context = app.router.lifespan_context(app)

    async def __aenter__(self) -> None:
        await self._context.__aenter__()

    async def __aexit__(self, *error) -> None:
        await self._context.__aexit__(*error)
