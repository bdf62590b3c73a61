"""A browser without a window: keeps cookies, finds form tokens, sends forms."""

import re
from http.cookies import SimpleCookie
from urllib.parse import urlencode

import httpx

from tests.api.client import Client


class Browser:
    """Requests of one browser; cookies are kept from answer to answer."""

    def __init__(self, client: Client) -> None:
        self._client = client
        self.cookies: dict[str, str] = {}

    def request(self, method: str, path: str, **options) -> httpx.Response:
        """One request with this browser's cookies."""
        headers = dict(options.pop("headers", {}))
        if self.cookies:
            headers["Cookie"] = "; ".join(f"{k}={v}" for k, v in self.cookies.items())
        answer = self._client.request(method, path, headers=headers, **options)
        for line in answer.headers.get_list("set-cookie"):
            for name, morsel in SimpleCookie(line).items():
                if morsel.value and morsel["max-age"] != "0":
                    self.cookies[name] = morsel.value
                else:
                    self.cookies.pop(name, None)
        return answer

    def get(self, path: str, **options) -> httpx.Response:
        """GET."""
        return self.request("GET", path, **options)

    def token(self, path: str) -> str:
        """The form token of a page."""
        found = re.search(r'name="token" value="([0-9a-f]+)"', self.get(path).text)
        assert found is not None, path
        return found[1]

    def post(self, path: str, fields: dict[str, str], **options) -> httpx.Response:
        """POST of form fields as they are."""
        headers = {"Content-Type": "application/x-www-form-urlencoded"} | options.pop("headers", {})
        return self.request("POST", path, content=urlencode(fields), headers=headers, **options)

    def send(self, path: str, page: str = "", **fields: str) -> httpx.Response:
        """Post a form of `page` (the same path when left out) with its token."""
        return self.post(path, {"token": self.token(page or path), **fields})
