"""Every way into the house, from the URLconf itself: a new route is walked without anybody writing it down."""

from __future__ import annotations

import re
from dataclasses import dataclass

from django.urls import URLPattern, get_resolver

PUBLIC = {
    "bench:outside",  # a supplier's link: its token is the key
    "bench:worker",  # the phone's script, the same for everybody
    "calendar:feed",  # its key is in the address
    "figures:calculator",
    "figures:gap",
    "figures:halo",
    "figures:halo-dxf",
    "figures:halo-json",
    "figures:halo-near",
    "figures:halo-sheet",
    "figures:index",
    "figures:model",
    "figures:scan",
    "figures:sources",
    "intake:back",
    "intake:back-code",
    "intake:back-link",
    "intake:brief",
    "intake:check",
    "intake:forget",
    "intake:front",
    "intake:hint",
    "intake:keep",
    "intake:picture",  # of the browser that writes the brief
    "intake:picture-remove",
    "intake:pictures",
    "intake:prove",
    "intake:question",
    "intake:send",
    "intake:send-link",
    "intake:sent",
    "kind:photo",  # only what its client has given free, by its own tests
    "kind:words",
    "letters-stop",  # a signed word
    "money-yours:card-notice",  # signed by the card page
    "people:away",
    "people:client-code",
    "people:client-link",
    "people:client-sign-in",
    "people:client-sign-out",
    "people:second-factor",
    "people:sign-in",
    "people:sign-out",
    "ring:ask",
    "ring:verify",
}
"""Open to everybody; what is private behind one of them is asked for by a key and has tests of its own."""


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
