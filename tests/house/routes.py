"""Every way into the house, from the URLconf itself: a new route is walked without anybody writing it down."""

from __future__ import annotations

import re
from dataclasses import dataclass

from django.urls import URLPattern, get_resolver


@dataclass(frozen=True, kw_only=True)
class Route:
    """One route: its name with its namespace, its path with places such as ``<int:pk>``."""

    name: str
    path: str

    @property
    def places(self) -> list[str]:
        """The names of what has to be filled in."""
        return re.findall(r"<(?:\w+:)?(\w+)>", self.path)

    def filled(self, **values: object) -> str:
        """The address with *values* in its places."""
        return "/" + re.sub(r"<(?:\w+:)?(\w+)>", lambda found: str(values[found[1]]), self.path)


def routes() -> list[Route]:
    """All of them, in the order in which they are tried."""
    found: list[Route] = []

    def walk(patterns, before: str, spaces: list[str]) -> None:
        for row in patterns:
            path = before + str(row.pattern)
            if isinstance(row, URLPattern):
                found.append(Route(name=":".join([*spaces, row.name or ""]), path=path))
            else:
                walk(row.url_patterns, path, [*spaces, row.namespace] if row.namespace else spaces)

    walk(get_resolver().url_patterns, "", [])
    return found
