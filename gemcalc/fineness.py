"""Fineness: what an alloy may be marked as, and how fineness and carat go together."""

from __future__ import annotations

from typing import Literal

from gemcalc.errors import BadInput, in_range

MarkList = Literal["iso-9202", "uk"]

ISO_MARKS_PPT: dict[str, tuple[int, ...]] = {
    "Au": (333, 375, 417, 585, 750, 916, 990, 999),
    "Ag": (800, 830, 925, 958, 999),
    "Pt": (850, 900, 950, 999),
    "Pd": (500, 950, 999),
}
"""Usual series of finenesses, parts per thousand. Source: iso-9202."""

UK_MARKS_PPT: dict[str, tuple[int, ...]] = {
    "Au": (375, 585, 750, 916, 990, 999),
    "Ag": (800, 925, 958, 999),
    "Pt": (850, 900, 950, 999),
    "Pd": (500, 950, 999),
}
"""Legal finenesses of the United Kingdom, parts per thousand. Source: hallmarking-convention."""

_LISTS: dict[str, dict[str, tuple[int, ...]]] = {"iso-9202": ISO_MARKS_PPT, "uk": UK_MARKS_PPT}


def fineness_from_carat(*, carat: float) -> float:
    """
    Fineness of gold in parts per thousand from carat (karat): 24 is pure.

    Formula: fineness = 1000 * carat / 24.

    Args:
        carat: Carat of the gold, from 1 to 24.

    Returns:
        Parts per thousand, exact. 14 carat is 583.33, which is below the 585 mark.

    Raises:
        OutOfRange: *carat* is outside 1 to 24.

    Source:
        tukes, exact-geometry

    >>> fineness_from_carat(carat=14)
    583.33
    """
    in_range(field="carat", value=carat, low=1, high=24)
    return 1000 * carat / 24


def mark_for(*, metal: str, fineness_ppt: float, marks: MarkList = "iso-9202") -> int | None:
    """
    Highest fineness mark an alloy may bear, parts per thousand.

    There is no minus tolerance: 584.9 falls to the next mark below 585.

    Args:
        metal: Symbol of the precious metal: Au, Ag, Pt or Pd.
        fineness_ppt: Fineness of the whole article, parts per thousand, from 0 to 1000.
        marks: ``iso-9202`` for the usual series, ``uk`` for the legal list of the United Kingdom.

    Returns:
        The mark, or None where the alloy lies below the lowest.

    Raises:
        BadInput: the metal or the list is not known.
        OutOfRange: *fineness_ppt* is outside 0 to 1000.

    Source:
        iso-9202, hallmarking-convention, tukes

    >>> mark_for(metal="Au", fineness_ppt=588, marks="uk"), mark_for(metal="Au", fineness_ppt=584, marks="uk")
    (585, 375)
    """
    if marks not in _LISTS:
        raise BadInput(f"must be one of {', '.join(_LISTS)}", field="marks")
    if metal not in _LISTS[marks]:
        raise BadInput(f"must be one of {', '.join(_LISTS[marks])}", field="metal")
    in_range(field="fineness_ppt", value=fineness_ppt, low=0, high=1000)
    reached = [mark for mark in _LISTS[marks][metal] if fineness_ppt >= mark]
    return reached[-1] if reached else None


def carat_mark_warning(*, carat: float, mark_ppt: int) -> str | None:
    """
    Words of caution where gold made to a carat would not reach a mark.

    Args:
        carat: Carat the alloy is made to, from 1 to 24.
        mark_ppt: Mark somebody wants to strike, parts per thousand, from 1 to 999.

    Returns:
        The sentence, or None where the gold reaches the mark.

    Raises:
        OutOfRange: an input is outside its range.

    Source:
        iso-9202, tukes

    >>> carat_mark_warning(carat=18, mark_ppt=750) is None
    True
    """
    in_range(field="mark_ppt", value=mark_ppt, low=1, high=999)
    fineness = fineness_from_carat(carat=carat)
    if fineness >= mark_ppt:
        return None
    return (
        f"{carat:g} carat is {fineness:.1f} ‰, below {mark_ppt}: no minus tolerance is allowed, so ask your "
        f"supplier for metal made to {mark_ppt} and the assay office before you mark it."
    )
