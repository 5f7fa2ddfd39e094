"""Erasing a client: what goes is nowhere any more, what stays still proves itself, and nobody else is touched."""

import datetime
from pathlib import Path

import pytest
from django.conf import settings
from django.db import DatabaseError, connection, transaction
from django.db.models import Sum
from django.test import Client as Browser

from commissions.intake.models import Brief
from commissions.money.bundle import digest
from commissions.money.models import Approval, Entry, Posting
from commissions.pages.keeping import actions
from commissions.pages.keeping.tasks import forget_names
from commissions.record.actions import open_commission, post_message
from commissions.record.errors import Refused
from commissions.record.models import Message
from studio import clock
from studio.guards import names_give_way
from studio.keeping import scrubbing
from studio.keeping.models import Erasure
from studio.outbox.models import Letter
from studio.people.models import ClientAccess, ClientSession
from studio.pictures.models import Picture
from studio.trail.models import Entry as TrailEntry
from studio.trail.queries import first_break
from tests.commissions.delivery.conftest import STREET_WORDS
from tests.commissions.pages.keeping.conftest import a_brief
from tests.post import sign_in_client

TELLING = ["Seelenbrink", "Joachim", "joachim@client.example", "451 5550143", STREET_WORDS]


def everywhere() -> dict[str, str]:
    """Every table's rows and every file of pictures, papers and letters, by name."""
    found = {}
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            found[table] = str(cursor.fetchall())
    for folder in (settings.MEDIA_ROOT, settings.OUTBOX_DIR):
        for path in Path(folder).rglob("*"):
            if path.is_file():
                found[str(path)] = path.read_bytes().decode(errors="replace")
    return found


def places_of(word: str) -> list[str]:
    return [name for name, text in everywhere().items() if word.casefold() in text.casefold()]


@pytest.fixture
def outbox(settings, tmp_path):
    """The local outbox with one letter to the client and one to somebody else."""
    settings.OUTBOX_DIR = tmp_path
    for name, to in (("1", "Joachim <joachim@client.example>"), ("2", "delphine@client.example")):
        (tmp_path / f"{name}.eml").write_bytes(f"To: {to}\r\nSubject: News\r\n\r\nDear client\r\n".encode())
    return tmp_path


@pytest.fixture
def wish(told, joachim, outbox):
    sign_in_client(Browser(), joachim, stepped_up=True).post("/yours/data/forget/")
    return Erasure.objects.get()


def test_before_it_the_words_are_there(wish):
    """The scan sees what is there: without this, finding nothing afterwards would prove nothing."""
    for word in TELLING[:4]:
        assert places_of(word), word


def test_afterwards_nothing_of_them_is_anywhere(wish, owner, outbox):
    actions.erase(wish=wish, by=owner)
    for word in TELLING:
        assert places_of(word) == [], word
    assert [path.name for path in outbox.glob("*.eml")] == ["2.eml"]
    assert not Picture.objects.filter(kind="brief").exists()
    assert not Brief.objects.exists() and not ClientSession.objects.exists()


def test_the_facts_stay_and_still_prove_themselves(wish, owner, told):
    def facts():
        sums = Posting.objects.values("account__code").annotate(sum=Sum("minor")).order_by("account__code")
        return list(sums), list(Entry.objects.order_by("pk").values_list("key", "kind", "on", "source"))

    before, approval = facts(), Approval.objects.get(commission=told)
    actions.erase(wish=wish, by=owner)
    assert facts() == before
    approval.refresh_from_db()
    assert digest(approval.bundle) == approval.digest
    assert first_break() is None
    told.refresh_from_db()
    assert told.client.full_name == actions.mark_of(told.client.access)
    assert told.state == "completed"


def test_the_guards_stand_again_afterwards(wish, owner):
    actions.erase(wish=wish, by=owner)
    for table in ("money_entry", "money_posting", "trail_entry", "bench_weighing"):
        for statement in (f"UPDATE {table} SET id = id", f"DELETE FROM {table}"):
            with (
                pytest.raises(DatabaseError, match="only grows"),
                transaction.atomic(),
                connection.cursor() as cursor,
            ):
                cursor.execute(statement)


def test_the_trail_is_never_opened(db):
    with pytest.raises(ValueError, match="never"), names_give_way("trail_entry"):
        pass


def test_everybody_else_is_untouched(wish, owner, delphine):
    # She has a name with the same first name in it, and writes of him.
    delphine.full_name = "Joachima Quarrie"
    delphine.save(update_fields=["full_name"])
    other = open_commission(client=delphine, title="Oval", currency="CAD", person=owner)
    post_message(commission=other, body="My friend Joachim likes it", from_client=True)
    a_brief(client=delphine, reference="D3L-PHN")
    actions.erase(wish=wish, by=owner)
    delphine.refresh_from_db()
    assert delphine.full_name == "Joachima Quarrie"
    assert Message.objects.get(commission=other).body == "My friend Joachim likes it"
    assert Brief.objects.get().reference == "D3L-PHN"
    assert ClientAccess.objects.get(pk=delphine.access_id).email == "delphine@client.example"


def test_the_name_is_kept_sealed_for_the_accounts_and_goes_in_its_time(wish, owner, told):
    row = actions.erase(wish=wish, by=owner)
    last = Entry.objects.filter(commission=told).order_by("-on").first().on
    assert row.accounts_until == datetime.date(last.year + settings.ACCOUNTS_YEARS, 12, 31)
    assert row.name_for_accounts == "Joachim Seelenbrink"
    assert places_of("Seelenbrink") == []  # sealed
    at = datetime.datetime.combine(row.accounts_until, datetime.time(12), datetime.UTC)
    with clock.standing_at(at):
        assert forget_names() == 0
    with clock.standing_at(at + datetime.timedelta(days=1)):
        assert forget_names() == 1
        assert forget_names() == 0
    row.refresh_from_db()
    assert row.name_for_accounts == "" and row.accounts_until is None


def test_nobody_is_erased_while_something_is_being_made(commission, joachim, owner, outbox):
    wish = actions.ask(access=joachim.access)
    with pytest.raises(Refused, match=f"{commission.reference} is open"):
        actions.erase(wish=wish, by=owner)
    joachim.refresh_from_db()
    assert joachim.full_name == "Joachim Seelenbrink"


def test_a_client_who_only_sent_a_brief_leaves_no_name_for_the_accounts(joachim, owner, outbox):
    a_brief(client=joachim, reference="A1B-2CD", state="sent")
    row = actions.erase(wish=actions.ask(access=joachim.access), by=owner)
    assert (row.name_for_accounts, row.accounts_until) == ("", None)
    assert places_of("Seelenbrink") == []


def test_the_two_answers_on_the_owners_page(wish, owner, jeweller, joachim, client, told):
    path = f"/studio/house/keeping/wishes/{wish.pk}/"
    client.force_login(jeweller)
    assert client.get(path).status_code == 403
    client.force_login(owner)
    assert "A client asks" in client.get("/studio/").content.decode()
    page = client.get(path).content.decode()
    assert "What will go" in page and "What stays" in page and "Erase Joachim Seelenbrink" in page
    page = client.post(path, {"not-yet": "1", "reason": ""}).content.decode()
    assert "Write why, and when it can be done." in page
    client.post(path, {"not-yet": "1", "reason": "Your last payment is under way."})
    own_page = sign_in_client(Browser(), joachim).get("/yours/data/").content.decode()
    assert "Your last payment is under way." in own_page
    # They may ask again, and then it is done.
    device = sign_in_client(Browser(), joachim, stepped_up=True)
    device.post("/yours/data/forget/")
    device.post("/yours/data/forget/")
    again = Erasure.objects.get(outcome="asked")
    answer = client.post(f"/studio/house/keeping/wishes/{again.pk}/", {"erase": "1"}, follow=True)
    assert "Erased on" in answer.content.decode()
    assert device.get("/yours/data/").status_code == 302
    assert TrailEntry.objects.filter(verb="erased a client").count() == 1
    with pytest.raises(Refused):
        actions.erase(wish=again, by=owner)


def test_no_letter_is_ever_sent_to_the_mark(wish, owner, told):
    actions.erase(wish=wish, by=owner)
    assert (
        not Letter.objects.filter(to__endswith="@erased.invalid")
        .exclude(state__in=["sent", "withdrawn"])
        .exists()
    )
    with clock.standing_at(clock.now() + datetime.timedelta(days=400)):
        from commissions.delivery.tasks import ask_due_care
        from commissions.letters.tasks import draft_missing

        ask_due_care()
        draft_missing()
    assert not Letter.objects.filter(to__endswith="@erased.invalid", state="waiting").exists()


@pytest.mark.parametrize(
    ("value", "after"),
    [
        ("Joachim Seelenbrink", "X"),
        ("JOACHIM SEELENBRINK wrote", "X wrote"),
        ({"name": ["Joachim Seelenbrink", 3, None]}, {"name": ["X", 3, None]}),
        ("Joachim", "Joachim"),
        (7, 7),
    ],
)
def test_a_name_is_replaced_wherever_it_stands(value, after):
    pattern = scrubbing._pattern(["Joachim Seelenbrink"], whole=False)
    assert scrubbing.replaced(value, pattern=pattern, mark="X") == after


def test_parts_of_a_name_are_whole_words():
    pattern = scrubbing._pattern(scrubbing.parts_of("Kit Lim-Harrowby Jr."), whole=True)
    assert (
        scrubbing.replaced("Kit's kitchen, Lim-Harrowby Jr.", pattern=pattern, mark="X")
        == "X's kitchen, X Jr."
    )


def test_names_with_letters_beyond_ascii_are_found_in_json(db):
    brief = Brief.objects.create(
        reference="A1B-2CD",
        token_hash="x",
        schema=1,
        answers={"name": {"full_name": "Zoë Łuczak-Özdemir"}},
        language="en-gb",
        began_at=clock.now(),
        touched_at=clock.now(),
    )
    with transaction.atomic():
        assert scrubbing.scrub(needles=["Zoë Łuczak-Özdemir"], mark="X") == {"intake.brief": 1}
    brief.refresh_from_db()
    assert brief.answers == {"name": {"full_name": "X"}}
