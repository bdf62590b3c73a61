"""`carrybook serve`: the service for other apps, and the pages, over one store."""

import os
import socket
import threading
from dataclasses import replace
from pathlib import Path

import click

from api.verb_options import json_option, print_json, store_option

MOST_CONNECTIONS = 500


@click.command()
@store_option
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=8000,
    show_default=True,
    help="Port to listen on; 0 picks one.",
)
@click.option(
    "--keys-only/--owner-here",
    default=None,
    help="Whether this machine needs a key too, once there is one; default: only when --host is"
    " open to others.",
)
@click.option(
    "--local-webhooks",
    is_flag=True,
    help="Let webhooks lead to this machine and network too, as while an app is being made.",
)
@json_option
def command(
    *,
    store: Path,
    host: str,
    port: int,
    keys_only: bool | None,
    local_webhooks: bool,
    as_json: bool,
) -> None:
    """Serve the store: answers for other apps under /v1, pages for people.

    Without any key the service answers this machine only; make keys with `carrybook keys create`.

    \b
    Example:
      carrybook serve --store carrybook-store --port 8000
    """
    import uvicorn

    from api.app import make_app
    from api.logs import log_as_json
    from api.open_player import bring_all_up_to_date
    from api.running import be_prompt
    from api.settings import Settings
    from api.slow_clients import patient_protocol

    guarded = host not in {"127.0.0.1", "::1", "localhost"} if keys_only is None else keys_only
    settings = replace(
        Settings.from_environment(os.environ, store),
        keys_only=guarded,
        webhook_private_hosts=local_webhooks,
    )
    log_as_json()
    port = free_port(host, port)
    address = f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"
    if as_json:
        print_json({"address": address, "store": str(store), "docs": f"{address}/docs"})
    else:
        click.echo(f"Serving {store} at {address} (docs at {address}/docs). Stop with Ctrl-C.")
    threading.Thread(target=bring_all_up_to_date, args=(store,), daemon=True).start()
    app = make_app(settings)
    be_prompt()
    uvicorn.run(
        app,
        host=host,
        port=port,
        log_config=None,
        timeout_graceful_shutdown=3,
        access_log=False,
        server_header=False,
        http=patient_protocol(settings.slow_client_s, MOST_CONNECTIONS),
    )


def free_port(host: str, port: int) -> int:
    """The port to listen on, a free one for 0.

    Raises: UsageError when the address cannot be listened on, before anything is announced.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise click.UsageError(
                f"{host}:{port} cannot be listened on: {error.strerror}. "
                "Mend: choose another --port (0 picks a free one) or --host."
            ) from error
        return int(probe.getsockname()[1])
