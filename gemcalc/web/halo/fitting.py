"""A case solved once, however many parts of the page ask for it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from gemcalc.halo import fit
from gemcalc.halo.case import Case, plain_case, read_case


@dataclass(frozen=True)
class Fitted:
    """A case with what was found for it; the layout has passed the independent check where it is feasible."""

    plain: Mapping[str, Any]
    whole: fit.Fitted

    @property
    def layout(self) -> Mapping[str, Any]:
        """The checked layout."""
        return self.whole.layout

    @property
    def feasible(self) -> bool:
        """Whether there is a sound halo."""
        return bool(self.layout["feasible"])


def fitted(case: Case) -> Fitted:
    """
    The halo for a case, without what is near it: that is looked for when a typing hand rests.

    Raises:
        BadInput: an outline contradicts itself.
    """
    return _fitted(json.dumps(plain_case(case), sort_keys=True))


@lru_cache(maxsize=48)
def _fitted(canonical: str) -> Fitted:
    case = read_case(json.loads(canonical))
    return Fitted(plain_case(case), fit.fitted(case))


def near(found: Fitted) -> list[dict[str, Any]]:
    """What is near: other counts of a sound halo, or the changes that would make one."""
    return list(_near(json.dumps(found.plain, sort_keys=True)))


@lru_cache(maxsize=48)
def _near(canonical: str) -> tuple[dict[str, Any], ...]:
    return tuple(fit.near(_fitted(canonical).whole))
