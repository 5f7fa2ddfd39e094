"""What the writes of the design room share."""

from __future__ import annotations

from commissions.record.models import Commission


def design_path(commission: Commission) -> str:
    """Where the studio reads a commission's design."""
    return f"/studio/commissions/{commission.reference}/design/"
