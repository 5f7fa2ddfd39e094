"""What the sweep does for deliveries."""

from __future__ import annotations

from commissions.delivery import actions


def purge_addresses() -> int:
    """Remove addresses that are not needed any more; how many went."""
    return actions.purge_addresses()


def ask_due_care() -> int:
    """Ask the clients whose next date of care is near; how many were asked."""
    return actions.ask_due_care()
