"""Where our figures come from: open to anyone, complete, honest about what does not hold."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from gemcalc.evidence import evidence
from gemcalc.sources import SOURCES
from gemcalc.web.sources import MARKS, Shown


def test_anyone_may_read_it_and_it_names_every_source(client, db):
    with CaptureQueriesContext(connection) as asked:
        answer = client.get("/figures/sources/")
    text = answer.content.decode()
    assert answer.status_code == 200
    assert len(asked) == 0
    assert set(re.findall(r'<article id="([^"]+)"', text)) == set(SOURCES)
    assert text.count('<th scope="row">') == sum(len(row.outcomes) for row in evidence())


def test_every_way_of_knowing_has_its_heading():
    assert {row.source.mark for row in evidence()} <= {mark for mark, _, _ in MARKS}


def test_how_close_is_said_in_words():
    row = next(row for row in evidence() if row.source.key == "gcal-table")
    assert re.fullmatch(r"\d+ printed figures checked, all hold; the farthest uses \d+ % of what its printing leaves open",
                        Shown(row).close)  # fmt: skip


@pytest.mark.parametrize("key", ["gcal-table", "practice"])
def test_a_figure_leads_to_its_source(look, key):
    name, values = ("weight", {"length": "6.5", "depth": "4"}) if key == "gcal-table" else (
        "account", {"issued": "9", "returned": "4", "mount": "4", "filings": "1"})  # fmt: skip
    assert f'/figures/sources/#{key}"' in look(name, values).content.decode()
