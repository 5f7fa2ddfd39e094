"""The limits that the tests of this folder keep: read from the same files as the page of sources."""

from __future__ import annotations

from decimal import Decimal

from gemcalc.checks import Limit, limits


def keeps(name: str, value: float) -> None:
    """Assert that *value* keeps the limit *name* and is what the page of sources says was measured."""
    found = {limit.name: limit for limit in limits()}
    limit: Limit = found[name]
    assert limit.keeps(value=value), f"{limit.what}: {value:.4f} {limit.unit}, limit {limit.limit}"
    exponent = limit.measured.as_tuple().exponent
    assert isinstance(exponent, int)
    # The page prints what was measured; a figure that drifts by more than a digit must be printed anew.
    assert abs(Decimal(value) - limit.measured) <= Decimal(1).scaleb(exponent), (
        f"{limit.what}: measured {value:.4f} {limit.unit}, the page says {limit.measured}"
    )
