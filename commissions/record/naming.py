"""What clients and pieces are called in the trail, and which key stands for a client in what only grows."""

from __future__ import annotations

from commissions.intake.models import Client
from commissions.record.models import Commission
from studio.trail.naming import Name, numbers_behind


def names_of(*, keys: list[str]) -> dict[str, Name]:
    """Names behind the references of pieces and behind keys such as ``client:7``: two queries."""
    pieces = Commission.objects.filter(reference__in=keys).values_list("reference", "title")
    found = {
        reference: Name(words=f"{reference} {title}", path=f"/studio/commissions/{reference}/")
        for reference, title in pieces
    }
    wanted = numbers_behind(keys, prefix="client:")
    clients = Client.objects.filter(access__in=wanted).values_list("access", "full_name") if wanted else ()
    return found | {f"client:{access}": Name(words=name) for access, name in clients}


def actor_key(*, actor: str, subject: str) -> str:
    """The key of the client behind a piece where *actor* is their name; *actor* itself otherwise."""
    row = (
        Commission.objects.filter(reference=subject)
        .values_list("client__full_name", "client__access")
        .first()
    )
    return f"client:{row[1]}" if row and actor.strip() and row[0] == actor else actor


def client_key(*, words: str, commission: Commission) -> str:
    """*words* with the client's key in the place of their name: for a row that can never be changed."""
    client = commission.client
    return words.replace(client.full_name, f"client:{client.access_id}") if client.full_name else words


def client_named(*, words: str, commission: Commission) -> str:
    """*words* as they are read: the client's present name in the place of their key."""
    client = commission.client
    return words.replace(f"client:{client.access_id}", client.full_name)
