"""Tasks of the outbox: leaves that fetch and call one action."""


def publish_sweep() -> None:
    """Ask a worker for a sweep; a broker that is down is no loss."""
