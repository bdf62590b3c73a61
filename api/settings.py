"""What a service is started with; read from the environment only where the process starts."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

MEBIBYTE = 1 << 20


@dataclass(frozen=True)
class Settings:
    """One service over one store; every limit has a name here and nowhere else.

    Attributes:
        store: folder of the store.
        cores: queries that may run at once.
        upload_limit_bytes: greatest size of one export as uploaded.
        body_limit_bytes: greatest size of any other request body.
        url_limit_bytes: greatest length of path and query together.
        cache_limit_bytes: encoded answers kept in memory.
        requests_per_minute: allowance of one key (or of one address without a key).
        cors_origins: web origins that may read answers; none by default.
        slow_client_s: a client that sends or takes nothing for so long is given up.
        keys_only: once there is a key, this machine needs one too.
        watch_s: how often changes made by other processes are looked for.
        import_process: whether imports run in a process of their own (else in a thread).
        webhook_private_hosts: whether webhooks may point at private addresses.
    """

    store: Path
    cores: int = 2
    upload_limit_bytes: int = 32 * MEBIBYTE
    body_limit_bytes: int = MEBIBYTE
    url_limit_bytes: int = 8 * 1024
    cache_limit_bytes: int = 64 * MEBIBYTE
    requests_per_minute: int = 1200
    cors_origins: tuple[str, ...] = ()
    slow_client_s: float = 20.0
    keys_only: bool = False
    watch_s: float = 1.0
    import_process: bool = True
    webhook_private_hosts: bool = False

    @classmethod
    def from_environment(cls, environment: Mapping[str, str], store: Path) -> "Settings":
        """Settings of a process: CARRYBOOK_CORS_ORIGINS, CARRYBOOK_REQUESTS_PER_MINUTE."""
        origins = environment.get("CARRYBOOK_CORS_ORIGINS", "")
        return cls(
            store=store,
            cores=os.cpu_count() or 2,
            requests_per_minute=int(environment.get("CARRYBOOK_REQUESTS_PER_MINUTE", "1200")),
            cors_origins=tuple(origin for origin in origins.split(",") if origin),
        )
