"""Each calculator by its page: with and without values, errors beside the box, the address, the fragment."""

import random
import re

import pytest
from django import forms
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from gemcalc.web.calculators import CALCULATORS
from gemcalc.web.fields import Figure

NAMES = sorted(CALCULATORS)


def text_of(answer) -> str:
    return answer.content.decode()


def headlines(text: str) -> list[str]:
    """The figures a page states, without their marking."""
    found = re.findall(r'<p class="value">(.*?)</p>', text, re.S)
    return [re.sub(r"<[^>]+>", "", one).strip() for one in found]


@pytest.mark.parametrize("name", NAMES)
def test_an_empty_page_says_what_will_appear(look, name):
    text = text_of(look(name))
    assert "The figure appears here as you type" in text
    assert "errorlist" not in text
    assert headlines(text) == []


@pytest.mark.parametrize("name", NAMES)
def test_the_example_gives_a_figure_a_drawing_and_its_sources(look, name):
    text = text_of(look(name, CALCULATORS[name].example))
    assert headlines(text)
    assert text.count("<svg") == 1
    assert "<h2>From where</h2>" in text
    assert "errorlist" not in text


@pytest.mark.parametrize("name", NAMES)
def test_rubbish_is_refused_beside_the_box_and_stays(look, name):
    boxes = CALCULATORS[name].form.base_fields
    field = next(
        key for key, box in boxes.items() if isinstance(box, Figure) or key in ("size", "composition")
    )
    text = text_of(look(name, {**CALCULATORS[name].example, "sieve": "", field: "twelve-ish <b>"}))
    slot = re.search(rf'id="slot-{field}">(.*?)</div>', text, re.S)[1]
    assert "twelve-ish" in slot or "read at" in slot or "element" in slot
    assert 'value="twelve-ish &lt;b&gt;"' in text
    assert headlines(text) == []


@pytest.mark.parametrize("name", NAMES)
def test_the_address_carries_what_was_typed(look, name):
    typed = look(name, {**CALCULATORS[name].example, "commission": "P4V-8GB"}, typing=True)
    assert "<html" not in text_of(typed)
    assert 'hx-swap-oob="true"' in text_of(typed)
    address = typed["HX-Replace-Url"]
    assert "commission=P4V-8GB" in address
    opened = text_of(look(address))
    assert "<html" in opened
    assert headlines(opened) == headlines(text_of(typed)) != []


def needed_in(name):
    return [key for key, box in CALCULATORS[name].form.base_fields.items() if box.required]


@pytest.mark.parametrize("name", [name for name in NAMES if len(needed_in(name)) > 1])
def test_a_box_not_yet_reached_is_no_error(look, name):
    needed = needed_in(name)
    typed = text_of(look(name, {needed[0]: CALCULATORS[name].example[needed[0]]}, typing=True))
    assert "Still to fill in" in typed
    assert "errorlist" not in typed
    sent = text_of(look(name, {needed[0]: CALCULATORS[name].example[needed[0]]}))
    assert "errorlist" in sent


@pytest.mark.parametrize("name", NAMES)
def test_a_page_asks_the_database_for_nobody_but_its_reader(look, name):
    look(name, CALCULATORS[name].example)  # the first page of a session also enters the device
    with CaptureQueriesContext(connection) as asked:
        look(name, CALCULATORS[name].example)
    tables = {word for query in asked for word in re.findall(r'FROM "(\w+)"', query["sql"])}
    assert len(asked) <= 2
    assert tables <= {"django_session", "people_person"}


STRANGE = [
    "", "0", "-1", "999999999999", "1e9", "nan", "inf", "½", "1/0", "1/3 in", "٣", "\x00", "a" * 80, "0.0000001", "100000",
    "1,2,3", ".", "'", "%", "2 1/2", "60",
]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_nothing_that_can_be_typed_breaks_a_page(look, name):
    chance = random.Random(name)
    for turn in range(25):
        values = dict(CALCULATORS[name].example)
        for key, box in CALCULATORS[name].form.base_fields.items():
            if chance.random() < 0.4:
                listed = (
                    [str(one[0]) for one in box.choices] if isinstance(box, forms.ChoiceField) else STRANGE
                )
                values[key] = chance.choice([*listed, "zz"])
        assert look(name, values, typing=turn % 2 == 0).status_code == 200, values


def test_the_list_names_every_calculator(look):
    text = text_of(look("/figures/"))
    for one in CALCULATORS.values():
        assert f'href="{reverse("figures:calculator", args=[one.name])}"' in text
        assert one.does in text.replace("&#x27;", "'")


def test_nobody_else_sees_the_calculators(client, db):
    answer = client.get(reverse("figures:calculator", args=["weight"]))
    assert answer.status_code == 302
    assert "sign-in" in answer["Location"]


def test_there_is_no_such_figure(look):
    assert look("/figures/horoscope/").status_code == 404


@pytest.mark.parametrize(
    ("name", "values", "said"),
    [
        ("weight", {"length": "6,51", "width": "6.48mm", "depth": "3.96"}, ["1.019 ct"]),
        ("weight", {"length": "1/4 in", "depth": "4"}, ["0.984 ct"]),
        ("size", {"weight": "100 pt"}, ["6.42 mm"]),
        ("size", {"weight": "0,2 g"}, ["6.42 mm"]),
        ("ring-size", {"system": "us", "size": "6 1/2"}, ["53.14 mm", "16.92 mm"]),
        ("ring-size", {"system": "diameter", "size": "17,32 mm"}, ["54.41 mm", "17.32 mm"]),
        ("ring-of-stones", {"centre": "6.5", "melee": "1.3", "clearance": ".15", "gap": "0,1"}, ["18", "0.107 mm"]),
        ("account", {"issued": "9.80", "returned": "4,62 g", "mount": "4310 mg", "filings": "0.71"}, ["0.160 g"]),
        ("price", {"price": "31.1034768", "alloy": "18ct yellow"}, ["0.75"]),
        ("melee", {"sieve": "6½–7"}, ["0.0250 ct", "40 stones"]),
    ],
)  # fmt: skip
def test_it_is_read_as_people_type(look, name, values, said):
    assert headlines(text_of(look(name, values))) == said


def test_a_price_that_could_be_read_two_ways_is_asked_about(look):
    text = text_of(look("price", {"price": "2,431"}))
    assert "could be 2431 or 2.4310" in text


def test_the_scale_is_believed_before_the_paper(look):
    text = text_of(look("melee", {"diameter": "1.3", "count": "120", "weight": "1.14", "stated": "0.095"}))
    assert "its decimal point has slipped" in text
