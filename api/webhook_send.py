"""One signed message to one address (Standard Webhooks), over a connection that cannot be misled.

The host's name is resolved once, every address it has must be a public one, and the connection is
made to that very address: a name that changes its mind in between leads nowhere. Redirects are not
followed; little of the answer is read.
"""

import http.client
import ipaddress
import re
import socket
import ssl
from dataclasses import dataclass
from datetime import UTC, datetime
from urllib.parse import SplitResult, urlsplit

from standardwebhooks import Webhook

NAME = r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?"
PUBLIC_URL = (
    rf"^https://({NAME}\.){{1,6}}[a-z]{{2,24}}(:[1-9][0-9]{{0,3}})?(/[A-Za-z0-9._~/?=&%-]*)?$"
)
TRANSLATED = (ipaddress.IPv6Network("64:ff9b::/96"), ipaddress.IPv6Network("64:ff9b:1::/48"))
TIMEOUT_S = 10
READ_BYTES = 1024


@dataclass(frozen=True)
class Message:
    """What is sent: an id that stays the same over retries, and the body."""

    message_id: str
    body: bytes


class NotSendable(Exception):
    """The address cannot be sent to: what it is, in words."""


def send(url: str, secret: str, message: Message, *, private_hosts: bool) -> int:
    """Send a message; returns the status of the answer.

    Raises:
        NotSendable: no answer came, or the address is not one to send to.
    """
    parts = urlsplit(url)
    moment = datetime.now(UTC)
    signature = Webhook(secret).sign(message.message_id, moment, message.body.decode())
    headers = {
        "Content-Type": "application/json",
        "User-Agent": "carrybook",
        "webhook-id": message.message_id,
        "webhook-timestamp": str(int(moment.timestamp())),
        "webhook-signature": signature,
    }
    try:
        connection = _connect(parts, private_hosts=private_hosts)
        try:
            path = parts.path or "/"
            target = f"{path}?{parts.query}" if parts.query else path
            connection.request("POST", target, message.body, headers)
            answer = connection.getresponse()
            answer.read(READ_BYTES)
            return answer.status
        finally:
            connection.close()
    except (OSError, http.client.HTTPException, ValueError) as error:
        raise NotSendable(type(error).__name__) from error


def check_url(url: str, *, private_hosts: bool) -> None:
    """Raises NotSendable for an address that no message may ever go to."""
    if not private_hosts and re.fullmatch(PUBLIC_URL, url) is None:
        raise NotSendable("it must begin with https:// and name a public host")
    try:
        parts = urlsplit(url)
        sound = parts.scheme in {"https", "http"} and parts.hostname and parts.port != 0
    except ValueError as error:
        raise NotSendable("it cannot be read") from error
    if not sound:
        raise NotSendable("it must begin with https:// or http:// and name a host")


def is_public(address: str) -> bool:
    """Whether an IP address leads to one public host, also where it holds another address."""
    given = ipaddress.ip_address(address)
    if isinstance(given, ipaddress.IPv6Address):
        inner = given.ipv4_mapped or given.sixtofour or _translated(given)
        if inner is not None:
            return is_public(str(inner))
    return given.is_global and not (given.is_multicast or given.is_reserved)


def _translated(address: ipaddress.IPv6Address) -> ipaddress.IPv4Address | None:
    """The IPv4 address behind a translated one (RFC 6052, RFC 8215); None for others."""
    if any(address in network for network in TRANSLATED):
        return ipaddress.IPv4Address(int(address) & 0xFFFFFFFF)
    return None


def _connect(parts: SplitResult, *, private_hosts: bool) -> http.client.HTTPConnection:
    host = parts.hostname or ""
    port = parts.port or (443 if parts.scheme == "https" else 80)
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    addresses = [str(entry[4][0]) for entry in found]
    if not private_hosts and not all(is_public(address) for address in addresses):
        raise NotSendable("not a public address")
    connection = http.client.HTTPConnection(host, port, timeout=TIMEOUT_S)
    plain = socket.create_connection((addresses[0], port), TIMEOUT_S)
    if parts.scheme == "https":
        context = ssl.create_default_context()
        connection.sock = context.wrap_socket(plain, server_hostname=host)
    else:
        connection.sock = plain
    return connection
