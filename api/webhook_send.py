"""One signed message to one address (Standard Webhooks), over a connection that cannot be misled.

The host's name is resolved once, every address it has must be a public one, and the connection is
made to that very address: a name that changes its mind in between leads nowhere. Redirects are not
followed; little of the answer is read.
"""

import http.client
import ipaddress
import socket
import ssl
from dataclasses import dataclass
from datetime import UTC, datetime
from urllib.parse import SplitResult, urlsplit

from standardwebhooks import Webhook

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
    try:
        parts = urlsplit(url)
        port = parts.port
    except ValueError as error:
        raise NotSendable("it cannot be read") from error
    allowed = {"https", "http"} if private_hosts else {"https"}
    if parts.scheme not in allowed or not parts.hostname or port == 0:
        raise NotSendable("it must begin with https:// and name a host")
    if parts.username or parts.password or parts.fragment:
        raise NotSendable("it must hold no user name, password or fragment")
    if not private_hosts and _literal(parts.hostname) not in {None, True}:
        raise NotSendable("it must be a public address")


def _literal(host: str) -> bool | None:
    """Whether an IP address written out is public; None for a name."""
    try:
        return ipaddress.ip_address(host).is_global
    except ValueError:
        return False if host == "localhost" or host.endswith(".localhost") else None


def _connect(parts: SplitResult, *, private_hosts: bool) -> http.client.HTTPConnection:
    host = parts.hostname or ""
    port = parts.port or (443 if parts.scheme == "https" else 80)
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    addresses = [str(entry[4][0]) for entry in found]
    if not private_hosts and not all(ipaddress.ip_address(a).is_global for a in addresses):
        raise NotSendable("not a public address")
    connection = http.client.HTTPConnection(host, port, timeout=TIMEOUT_S)
    plain = socket.create_connection((addresses[0], port), TIMEOUT_S)
    if parts.scheme == "https":
        context = ssl.create_default_context()
        connection.sock = context.wrap_socket(plain, server_hostname=host)
    else:
        connection.sock = plain
    return connection
