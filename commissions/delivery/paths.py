"""Where the pages of this room lie."""

from __future__ import annotations

from commissions.record.models import Commission


def studio_path(commission: Commission) -> str:
    """The studio's page of packing, parcel and care."""
    return f"/studio/commissions/{commission.reference}/delivery/"


def client_path(commission: Commission, page: str) -> str:
    """One of the client's pages: ``delivery`` or ``care``."""
    return f"/yours/{commission.reference}/{page}/"
