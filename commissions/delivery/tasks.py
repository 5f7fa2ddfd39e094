"""What the sweep does for deliveries."""

from __future__ import annotations

from commissions.delivery import actions


def purge_addresses() -> int:
    """Remove addresses that are not needed any more; how many went."""
    return actions.purge_addresses()
