"""A photo is internal until somebody looked closely; what a letter carried stays."""

import pytest

from commissions.bench import actions, queries
from commissions.bench.models import Photo
from commissions.record.errors import Refused
from studio.pictures import tasks
from studio.pictures.models import Picture
from tests.commissions.bench.conftest import perform, picture_file


@pytest.fixture
def photo(job, jeweller):
    """One photo, prepared."""
    act = perform(
        job, jeweller, "photo", upload=picture_file(), caption="Halo in place", scale="shown 8 times"
    )
    tasks.render(Picture.objects.get().pk)
    return Photo.objects.get(pk=act.subject)


def test_a_release_needs_the_look_the_words_and_the_picture(job, jeweller):
    act = perform(job, jeweller, "photo", upload=picture_file())
    row = Photo.objects.get(pk=act.subject)
    with pytest.raises(Refused) as refused:
        actions.release_photo(photo=row, background_checked=False, person=jeweller)
    assert [gap.words.split(" ")[0] for gap in refused.value.missing] == ["Look", "Say", "The"]
    assert list(queries.released_photos(commission=job)) == []


def test_a_released_photo_is_the_clients_and_waits_for_a_letter(photo, job, jeweller):
    actions.release_photo(photo=photo, background_checked=True, person=jeweller)
    assert list(queries.released_photos(commission=job)) == [photo]
    assert list(queries.photos_without_letter()) == [photo]


def test_a_photo_can_be_withdrawn_until_a_letter_carried_it(photo, jeweller, job):
    actions.release_photo(photo=photo, background_checked=True, person=jeweller)
    actions.withdraw_photo(photo=photo, person=jeweller)
    assert list(queries.released_photos(commission=job)) == []
    actions.release_photo(photo=photo, background_checked=True, person=jeweller)
    assert actions.mark_carried(photos=[photo]) == 1
    assert actions.mark_carried(photos=[photo]) == 0
    with pytest.raises(Refused, match="cannot be withdrawn"):
        actions.withdraw_photo(photo=photo, person=jeweller)
    with pytest.raises(Refused, match="stay as they were sent"):
        actions.describe_photo(photo=photo, caption="Other words", scale="")


def test_releasing_twice_is_refused(photo, jeweller):
    actions.release_photo(photo=photo, background_checked=True, person=jeweller)
    with pytest.raises(Refused, match="released already"):
        actions.release_photo(photo=photo, background_checked=True, person=jeweller)


def test_the_page_lists_looks_and_releases(client, photo, job, jeweller, django_assert_num_queries):
    client.force_login(jeweller)
    page = client.get(f"/studio/commissions/{job.reference}/photos/")
    assert "Halo in place" in page.content.decode()
    address = f"/studio/commissions/{job.reference}/photos/{photo.pk}/"
    refused = client.post(address, {"caption": "Halo", "release": "1"})
    assert refused.status_code == 409
    assert "tick that its background" in refused.content.decode()
    client.post(
        address, {"caption": "Halo", "scale": "shown 8 times", "background_checked": "on", "release": "1"}
    )
    photo.refresh_from_db()
    assert (photo.audience, photo.caption, photo.released_by) == ("client", "Halo", jeweller)


def test_the_file_of_another_job_is_not_answered(client, photo, job, jeweller, delphine, owner):
    from commissions.record.actions import open_commission

    other = open_commission(client=delphine, title="Oval", currency="GBP", person=owner)
    client.force_login(jeweller)
    assert client.get(f"/studio/bench/{job.reference}/photo/{photo.pk}/320/").status_code == 200
    assert client.get(f"/studio/bench/{other.reference}/photo/{photo.pk}/320/").status_code == 404


def test_a_stranger_gets_no_file(client, photo, job):
    assert client.get(f"/studio/bench/{job.reference}/photo/{photo.pk}/320/").status_code == 302


@pytest.mark.parametrize("count", [1, 30])
def test_the_page_asks_the_database_as_often_for_thirty_photos_as_for_one(
    count, client, job, jeweller, django_assert_num_queries
):
    for _ in range(count):
        perform(job, jeweller, "photo", upload=picture_file())
    client.force_login(jeweller)
    client.get("/studio/bench/")  # the first page of a session also enters the device
    with django_assert_num_queries(4):
        client.get(f"/studio/commissions/{job.reference}/photos/")


def test_the_page_of_the_ring_leads_to_step_photos_metal_and_card(client, photo, job, jeweller, setter):
    client.force_login(jeweller)
    page = client.get(f"/studio/commissions/{job.reference}/").content.decode()
    assert "1 photo to look at closely" in page
    for part in ("photos/", "metal/", "suppliers/", "job-card/"):
        assert f"/studio/commissions/{job.reference}/{part}" in page
    assert f'href="/studio/bench/{job.reference}/">Model drawn from the measured stone</a>' in page
    part = queries.piece_part(commission=job, person=setter)
    assert part["is_setter"] is True
