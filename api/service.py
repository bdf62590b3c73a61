"""What a running service holds: settings, players, cache, queries. One per application."""

from fastapi import Request

from api.cache import Cache
from api.player_cards import PlayerCards
from api.running import Runner
from api.settings import Settings


class Service:
    """The shared state of one application; opens nothing before it is needed."""

    def __init__(self, settings: Settings) -> None:
        self.settings = settings
        self.players = PlayerCards(settings.store)
        self.cache = Cache(settings.cache_limit_bytes)
        self.runner = Runner(settings.cores)


def service_of(request: Request) -> Service:
    """The service a request came to."""
    service: Service = request.app.state.service
    return service
