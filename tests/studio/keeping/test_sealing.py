"""Words sealed at rest: not to be read without the secret, and still there when the secret is changed."""

import pytest
from django.core.exceptions import FieldError
from django.db import connection, models
from django.test.utils import isolate_apps

from studio.sealing import UNREADABLE, Sealed, SealedText, Unreadable, open_sealed, seal

WORDS = "14 Invented Quay\nLübeck"


def test_what_is_sealed_opens_again_and_never_looks_the_same():
    one, two = seal(WORDS), seal(WORDS)
    assert open_sealed(one) == open_sealed(two) == WORDS
    assert one != two
    assert "Quay" not in one
    assert seal("") == open_sealed("") == ""


def test_a_changed_secret_still_reads_what_the_former_one_sealed(settings):
    token = seal(WORDS)
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "another secret, as long as it has to be, 0123456789"
    assert open_sealed(token) == WORDS
    newer = seal(WORDS)
    settings.SECRET_KEY_FALLBACKS = []
    assert open_sealed(newer) == WORDS
    assert open_sealed(token) == UNREADABLE


def test_without_the_secret_nothing_is_lost_and_nothing_is_shown(settings):
    token = seal(WORDS)
    secret, settings.SECRET_KEY = settings.SECRET_KEY, "another secret, as long as it has to be, 0123456789"
    read = open_sealed(token)
    assert isinstance(read, Unreadable)
    # Written back by a page that did not touch it, it stays what it was.
    assert SealedText().get_prep_value(read) == token
    settings.SECRET_KEY = secret
    assert open_sealed(token) == WORDS


def test_a_changed_letter_opens_nothing():
    token = seal(WORDS)
    assert open_sealed(token[:-5] + ("A" if token[-5] != "A" else "B") + token[-4:]) == UNREADABLE


@isolate_apps("studio.keeping")
def test_the_column_holds_no_word_and_cannot_be_asked_for_one(transactional_db):
    class Note(models.Model):
        words = SealedText(blank=True)

        class Meta:
            app_label = "keeping"

    with connection.schema_editor() as editor:
        editor.create_model(Note)
    try:
        note = Note.objects.create(words=WORDS)
        Note.objects.create(words=Sealed(seal("as it was")))
        assert [row.words for row in Note.objects.order_by("pk")] == [WORDS, "as it was"]
        with connection.cursor() as cursor:
            cursor.execute("SELECT words FROM keeping_note")
            kept = str(cursor.fetchall())
        assert "Quay" not in kept and "as it was" not in kept
        Note.objects.filter(pk=note.pk).update(words="another")
        assert Note.objects.get(pk=note.pk).words == "another"
        with pytest.raises(FieldError):
            Note.objects.filter(words="another").exists()
    finally:
        with connection.schema_editor() as editor:
            editor.delete_model(Note)
