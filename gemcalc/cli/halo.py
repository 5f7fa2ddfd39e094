"""``python -m gemcalc halo``: a case in, a layout out."""

from __future__ import annotations

from typing import Any


def halo(data: dict[str, Any]) -> dict[str, Any]:
    """
    Solve one halo.

    Args:
        data: The case; lengths mm, angles degrees.

    Raises:
        BadInput: a field is missing or impossible, named as in the case, for example ``centre.length_mm``.
    """
    from gemcalc.halo.case import read_case
    from gemcalc.halo.fit import fit

    return fit(read_case(data))
