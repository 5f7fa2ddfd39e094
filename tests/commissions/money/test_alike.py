"""One payment told of twice, by two files or by a file and a hand, is asked about and never booked twice."""

import datetime

import pytest

from commissions.money import actions, queries
from commissions.money.models import BankLine, Entry
from commissions.money.statements import Mapping, read_camt, read_csv
from commissions.record.errors import Refused
from studio import clock
from tests.outside.money.test_camt import SAMPLE

MAPPING = Mapping(date="Date", amount="Amount", reference="Reference", counterpart="Name")
HEAD = "Date;Amount;Reference;Name\n"


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


def read(owner, *lines, mapping=MAPPING):
    content = (HEAD + "\n".join(lines) + "\n").encode()
    return actions.import_rows(rows=read_csv(content=content, mapping=mapping, currency="GBP"), person=owner)


def camt(owner, content=SAMPLE):
    return actions.import_rows(rows=read_camt(content=content), person=owner)


def counts(result):
    return {name: n for name, n in result.__dict__.items() if n}


def in_the_books():
    return sum(
        row.postings.get(account__code="bank").minor
        for row in Entry.objects.filter(kind__in=("receipt", "unmatched"), reversed_by__isnull=True)
    )


@pytest.fixture
def theirs(commission):
    """The sample names T5C-6JP; here it names this piece."""
    return SAMPLE.replace(b"T5C-6JP", commission.reference.encode())


def test_two_forms_of_one_day_book_once(owner, commission, theirs):
    line = f"02/09/2026;1794,36;{commission.reference};MULVENNON T"
    assert counts(read(owner, line)) == {"matched": 1}
    assert counts(camt(owner, theirs)) == {"asked": 1, "unmatched": 2, "out": 1}
    assert queries.settled(commission=commission) == 179436
    asked = queries.asked_lines()
    assert [row.like_line.form for row in asked] == ["csv"]
    assert actions.answer_likeness(line=asked[0], same=True, person=owner) == "same"
    assert queries.settled(commission=commission) == 179436
    assert counts(camt(owner, theirs)) == {"known": 4}
    with pytest.raises(Refused, match="answered this already"):
        actions.answer_likeness(line=asked[0], same=False, person=owner)


def test_the_other_way_round_and_a_day_apart(owner, commission, theirs):
    camt(owner, theirs)
    line = f"04/09/2026;1794,36;{commission.reference};MULVENNON T"
    assert counts(read(owner, line)) == {"asked": 1}
    line = f"09/09/2026;1794,36;{commission.reference};MULVENNON T"
    assert counts(read(owner, line)) == {"matched": 1}, "a week later it is another payment"


def test_another_payment_is_booked_once_the_owner_says_so(owner, commission, theirs):
    read(owner, f"02/09/2026;1794,36;{commission.reference};X")
    camt(owner, theirs)
    asked = queries.asked_lines()[0]
    assert actions.answer_likeness(line=asked, same=False, person=owner) == "matched"
    assert queries.settled(commission=commission) == 2 * 179436


def test_the_same_file_read_with_other_columns_is_asked_about(owner):
    line = "02/09/2026;75,00;thanks;Somebody"
    assert counts(read(owner, line)) == {"unmatched": 1}
    other = Mapping(date="Date", amount="Amount", reference="Reference")
    assert counts(read(owner, line, mapping=other)) == {"asked": 1}
    assert in_the_books() == 7500


def test_two_equal_payments_of_one_file_are_two(owner):
    line = "02/09/2026;75,00;thanks;Somebody"
    assert counts(read(owner, line)) == {"unmatched": 1}
    assert counts(read(owner, line, line)) == {"known": 1, "unmatched": 1}
    assert in_the_books() == 15000


def test_each_of_two_is_asked_about_its_own(owner):
    line = "02/09/2026;120,00;thanks;Somebody"
    read(owner, line, line)
    content = SAMPLE.replace(b'Ccy="GBP">80.00', b'Ccy="GBP">120.00').replace(
        b'<Amt Ccy="GBP">200.00', b'<Amt Ccy="GBP">240.00'
    )
    assert camt(owner, content).asked == 2
    assert len({row.like_line_id for row in queries.asked_lines()}) == 2


def test_lines_that_name_two_pieces_are_two(owner, commission, joachim, theirs):
    from commissions.record.actions import open_commission

    other = open_commission(client=joachim, title="Another", currency="GBP", person=owner)
    read(owner, f"02/09/2026;1794,36;{other.reference};X")
    assert camt(owner, theirs).matched == 1


def test_what_was_typed_by_hand_is_asked_about_when_the_statement_comes(owner, commission, theirs):
    on = datetime.date(2026, 9, 1)
    actions.post_receipt(
        commission=commission, minor=179436, currency="GBP", reference="typed", by_words="O", on=on
    )
    assert camt(owner, theirs).asked == 1
    asked = queries.asked_lines()[0]
    assert asked.like_entry.source == "typed"
    actions.answer_likeness(line=asked, same=True, person=owner)
    assert queries.settled(commission=commission) == 179436


def test_the_page_asks(owner, commission, theirs, client):
    read(owner, f"02/09/2026;1794,36;{commission.reference};X")
    camt(owner, theirs)
    client.force_login(owner)
    page = client.get("/studio/money/statements/").content.decode()
    assert "Is this the same payment?" in page
    line = BankLine.objects.get(state="asked")
    assert client.post(f"/studio/money/statements/{line.pk}/same/", {"answer": "same"}).status_code == 302
    line.refresh_from_db()
    assert line.state == "same" and line.entry_id is None
    assert "Is this the same payment?" not in client.get("/studio/money/statements/").content.decode()


def test_a_hand_that_repeats_a_payment_is_asked(owner, commission, client):
    client.force_login(owner)
    today = clock.today()
    address = f"/studio/commissions/{commission.reference}/money/receipt/"
    typed = {
        "minor": "10.00",
        "reference": "A",
        "on_day": str(today.day),
        "on_month": str(today.month),
        "on_year": str(today.year),
    }
    assert client.post(address, typed).status_code == 302
    assert client.post(address, typed).status_code == 302, "the same reference is entered once"
    answer = client.post(address, {**typed, "reference": "B"})
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "Is this the same payment?" in page and 'value="B"' in page
    assert queries.settled(commission=commission) == 1000
    assert client.post(address, {**typed, "reference": "B", "another": "1"}).status_code == 302
    assert queries.settled(commission=commission) == 2000
    actions.import_rows(
        rows=read_csv(
            content=(HEAD + f"{today:%d/%m/%Y};33,00;thanks;X\n").encode(), mapping=MAPPING, currency="GBP"
        ),
        person=owner,
    )
    waiting = client.post(address, {**typed, "reference": "C", "minor": "33"})
    assert waiting.status_code == 409
    assert "tray of the bank statements" in waiting.content.decode()
