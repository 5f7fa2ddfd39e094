"""Every main page, at both widths: nothing scrolls sideways, axe finds nothing, the console is silent."""

from __future__ import annotations

import pytest

from tests.journeys.conftest import client_in, sound, staff_in

PUBLIC = ["/", "/brief/", "/studio/sign-in/", "/in/", "/figures/sources/", "/kind-words/", "/ring/"]
OWNER = [
    "/studio/",
    "/studio/house/",
    "/studio/commissions/",
    "/studio/commissions/P4V-8GB/",
    "/studio/commissions/P4V-8GB/messages/",
    "/studio/commissions/B3X-9TN/design/",
    "/studio/commissions/B3X-9TN/design/draft/",
    "/studio/commissions/B3X-9TN/design/B/comments/",
    "/studio/commissions/B3X-9TN/design/B/true-size/",
    "/studio/commissions/B3X-9TN/design/compare/",
    "/studio/commissions/B3X-9TN/design/included/",
    "/studio/commissions/P4V-8GB/hold-points/",
    "/studio/commissions/P4V-8GB/design/A/sheet/",
    "/studio/commissions/B3X-9TN/design/B/",
    "/studio/commissions/B3X-9TN/design/B/model/",
    "/studio/commissions/B3X-9TN/design/B/scan/1/",
    "/studio/commissions/B3X-9TN/design/B/what-if/?centre_mm=1&metal=18ct+yellow",
    "/studio/commissions/B3X-9TN/design/draft/scan/",
    "/studio/commissions/H8R-2WV/stones/",
    "/studio/stones/",
    "/studio/money/",
    "/studio/money/ledger/",
    "/studio/money/looks/",
    "/studio/money/months/",
    "/studio/money/rule/",
    "/studio/money/statements/",
    "/studio/commissions/P4V-8GB/money/receipt-abroad/",
    "/studio/commissions/T5C-6JP/money/",
    "/studio/commissions/P4V-8GB/money/",
    "/studio/dispatch/",
    "/studio/commissions/D8N-4YQ/delivery/",
    "/studio/commissions/D8N-4YQ/papers/",
    "/studio/commissions/F3J-9LC/delivery/care/",
    "/studio/commissions/F3J-9LC/delivery/worry/1/",
    "/studio/commissions/F3J-9LC/job/new/",
    "/studio/kind-words/",
    "/studio/dispatch/limits/",
    "/studio/commissions/K6T-5RM/photos/",
    "/studio/metal/",
    "/studio/outbox/",
    "/studio/briefs/",
    "/studio/people/",
    "/studio/people/2/",
    "/studio/sessions/",
    "/studio/trail/",
    "/studio/house/keeping/",
    "/studio/commissions/P4V-8GB/money/withdrawal/",
    "/studio/commissions/P4V-8GB/promise/",
]
BENCH = [
    "/studio/bench/",
    "/studio/bench/P4V-8GB/",
    "/studio/bench/K6T-5RM/check/",
    "/studio/bench/P4V-8GB/weigh/",
]
FIGURES = ["/figures/", "/figures/halo/"]
YOURS = [
    "",
    "design/",
    "design/compare/",
    "design/A/comments/",
    "design/A/true-size/",
    "hold-points/",
    "stones/",
    "money/",
    "progress/",
    "messages/",
    "delivery/",
    "care/",
    "care/worry/",
    "care/worry/1/",
    "care/words/",
    "papers/",
]


def visit(page, paths):
    for path in paths:
        answer = page.goto(path)
        assert answer.status == 200, path
        sound(page)


def test_pages_anybody_may_read(at):
    visit(at, PUBLIC)


@pytest.mark.parametrize("part", [OWNER[:14], OWNER[14:]], ids=["first", "second"])
def test_pages_of_the_owner(at, house, part):
    staff_in(at, house, "ottoline")
    visit(at, part)


def test_pages_of_the_bench_and_the_figures(at, house):
    staff_in(at, house, "mabli")
    visit(at, [*BENCH, *FIGURES])


def test_pages_of_a_client(at, house):
    client_in(at, house, "philippa@stonecroftvale.example", path="/yours/F3J-9LC/")
    visit(at, [f"/yours/F3J-9LC/{part}" for part in YOURS])
    visit(at, ["/yours/data/", "/in/devices/"])


def test_every_page_stands_in_the_dark(at, house):
    at.emulate_media(color_scheme="dark")
    staff_in(at, house, "ottoline")
    visit(at, ["/studio/", "/studio/commissions/P4V-8GB/", "/studio/money/"])
