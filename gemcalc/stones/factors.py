"""The weight factor of a cut at a length to width."""

from __future__ import annotations

from itertools import pairwise

from gemcalc.errors import BadInput, in_range
from gemcalc.stones.cuts import CUTS, Cut

_BY_KEY = {cut.key: cut for cut in CUTS}


def cut_named(*, cut: str) -> Cut:
    """
    Row of the cut called *cut*.

    Args:
        cut: One of our twelve words, such as `oval`; case and outer spaces do not matter.

    Returns:
        The row with its factors, ct/mm3.

    Raises:
        BadInput: there is no such cut.

    Source:
        gcal-table

    >>> cut_named(cut="heart").factors[0].factor
    0.0059
    """
    row = _BY_KEY.get(cut) or _BY_KEY.get(cut.strip().lower())
    if row is None:
        raise BadInput(f"is not a cut we have figures for: choose one of {', '.join(_BY_KEY)}", field="cut")
    return row


def factor_at(*, cut: str, length_to_width: float) -> float:
    """
    Weight factor of a diamond of *cut* at *length_to_width*, ct/mm3.

    Straight lines between the printed rows; beyond the first and last row their factor is kept.

    Args:
        cut: One of our twelve words.
        length_to_width: Length divided by width, from 0.5 to 5.

    Returns:
        The factor, ct/mm3, exact at the printed rows.

    Raises:
        BadInput: there is no such cut.
        OutOfRange: *length_to_width* is outside 0.5 to 5.

    Source:
        weight-page, gcal-table, gemgate

    >>> factor_at(cut="emerald", length_to_width=1.75)
    0.0096
    """
    rows = cut_named(cut=cut).factors
    in_range(field="length_to_width", value=length_to_width, low=0.5, high=5.0)
    if length_to_width <= rows[0].length_to_width:
        return rows[0].factor
    for left, right in pairwise(rows):
        if length_to_width <= right.length_to_width:
            share = (length_to_width - left.length_to_width) / (right.length_to_width - left.length_to_width)
            return left.factor + share * (right.factor - left.factor)
    return rows[-1].factor
