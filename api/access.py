"""Who is asking, and what they may see.

Rules
-----
1. A key belongs to one coach, carries scopes and may be limited to named players.
2. A player of another coach, one outside a key's names, or a junior without a guardian's consent
   does not exist for the caller: 404, never 403.
3. A missing scope is 403: the caller knows their own scopes.
4. As long as no key exists the service answers loopback only, and loopback is the owner.
"""

from dataclasses import dataclass
from typing import Literal, get_args

from api.player_cards import PlayerCard

Scope = Literal["read:profiles", "read:rows", "import", "manage"]
SCOPES: tuple[Scope, ...] = get_args(Scope)


@dataclass(frozen=True)
class Caller:
    """One authenticated caller.

    Attributes:
        key_id: public id of the key; "owner" for the coach at their own machine.
        coach: whose players the key may see; empty means every player of the store.
        scopes: what the key may do.
        players: names the key is limited to; None means no such limit.
        owner: the coach at their own machine: sees juniors whatever the consent says.
    """

    key_id: str
    coach: str
    scopes: frozenset[str]
    players: frozenset[str] | None = None
    owner: bool = False

    def may(self, scope: str) -> bool:
        """Whether the caller holds `scope`."""
        return scope in self.scopes

    def sees(self, card: PlayerCard) -> bool:
        """Whether the player exists for this caller."""
        if self.players is not None and card.player_id not in self.players:
            return False
        if self.coach and card.coach != self.coach:
            return False
        return self.owner or card.may_leave


OWNER = Caller("owner", "", frozenset(SCOPES), owner=True)
