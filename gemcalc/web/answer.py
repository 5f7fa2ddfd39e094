"""What a page of figures shows: the figure with its range, why, from where, and its drawing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe

from gemcalc.drawing import Scene, to_svg
from gemcalc.sources import SOURCES

MARK_WORDS = {
    "seen": "read in the source",
    "lib": "made by an open library",
    "calc": "exact mathematics",
    "memory": "from memory",
    "practice": "common practice",
}
"""How a source is known, in words; beside every source wherever one is named."""


@dataclass(frozen=True, kw_only=True)
class Headline:
    """The figure that was asked for, written out, with its range where it has one."""

    label: str
    value: str
    unit: str = ""
    range: str = ""


@dataclass(frozen=True, kw_only=True)
class Fact:
    """A lesser figure with its name and, where needed, a word beside it."""

    label: str
    value: str
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows of figures; columns from *words_to* on hold numbers."""

    caption: str
    head: tuple[str, ...]
    rows: Sequence[Sequence[str]]
    words_to: int = 1

    @property
    def cells(self) -> list[list[dict[str, str]]]:
        """The rows with each cell's heading beside it."""
        return [
            [{"head": head, "words": words} for head, words in zip(self.head, row, strict=True)]
            for row in self.rows
        ]


@dataclass(frozen=True, kw_only=True)
class Finding:
    """A finding: ``good``, ``look`` or ``stop``, always with its words."""

    verdict: str
    words: str

    @property
    def said(self) -> str:
        """The verdict as a word, so that colour never stands alone."""
        return {"good": "Good", "look": "Look", "stop": "Stop"}[self.verdict]


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """A drawing with the words under it."""

    svg: SafeString
    caption: str


@dataclass(frozen=True, kw_only=True)
class Act:
    """Where the answer leads on to."""

    words: str
    address: str


@dataclass(kw_only=True)
class Answer:
    """One page's answer; every part may be empty."""

    headlines: list[Headline] = field(default_factory=list)
    facts: list[Fact] = field(default_factory=list)
    tables: list[Table] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    drawings: list[Drawing] = field(default_factory=list)
    why: list[str] = field(default_factory=list)
    caution: str = ""
    acts: list[Act] = field(default_factory=list)
    carries: dict[str, object] = field(default_factory=dict)
    """What of it goes into a commission's draft, by the names of the draft's boxes."""
    sources: Iterable[str] = ()

    @property
    def carried(self) -> str:
        """What a commission's draft takes of it, as its address says it; empty where it takes nothing."""
        return urlencode({key: value for key, value in self.carries.items() if value not in (None, "")})

    @property
    def said(self) -> str:
        """The answer in one line, for those who hear the page."""
        parts = [f"{h.label}: {h.value} {h.unit} {h.range}".strip() for h in self.headlines]
        return "; ".join(parts) or "; ".join(finding.words for finding in self.findings)

    @property
    def named_sources(self) -> list[dict[str, str]]:
        """The sources as they are shown: key, citation, and how each is known."""
        return [named_source(key) for key in dict.fromkeys(self.sources)]


def named_source(key: str) -> dict[str, str]:
    """One source for a page; a key that is no row of the registry is words of the studio's own."""
    row = SOURCES.get(key)
    if row is None:
        return {"key": "", "citation": key, "mark": "the studio's own sheet"}
    return {"key": key, "citation": row.citation.replace("`", ""), "mark": MARK_WORDS[row.mark]}


def drawn(scene: Scene, caption: str) -> Drawing:
    """A scene as it stands on a page. Its words are escaped where the SVG is made."""
    return Drawing(svg=mark_safe(to_svg(scene)), caption=caption)  # noqa: S308


def leading(words: str, name: str, **values: object) -> Act:
    """An act that leads to the page *name* (its name in the addresses) with *values* filled in."""
    page = reverse("figures:halo") if name == "halo" else reverse("figures:calculator", args=[name])
    pairs = {key: value for key, value in values.items() if value not in (None, "")}
    return Act(words=words, address=f"{page}?{urlencode(pairs)}")


def span(low: float, high: float, *, places: int, unit: str = "") -> str:
    """A range in words."""
    return f"{low:.{places}f} to {high:.{places}f}{f' {unit}' if unit else ''}"
