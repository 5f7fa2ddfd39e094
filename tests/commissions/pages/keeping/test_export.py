"""The full export: every row of every table, readable without us, and nothing that lets anybody in."""

import csv
import io
import json
import stat
import zipfile
from pathlib import Path

import pytest
from beancount import loader
from django.apps import apps
from django.core.management import CommandError, call_command

from commissions.money.models import Posting
from studio.keeping import exporting
from studio.keeping.rows import models_of
from studio.people.models import Person
from studio.pictures.models import Picture
from tests.cast import PASSWORD


@pytest.fixture
def exported(told, tmp_path, settings, capsys):
    settings.OUTBOX_DIR = tmp_path / "outbox"
    call_command("export", str(tmp_path / "all"))
    assert "not sealed" in capsys.readouterr().out
    return tmp_path / "all"


def test_every_row_of_every_table_is_there_twice(exported):
    for model in models_of(apps):
        table = exported / "tables" / f"{model._meta.db_table}.jsonl"
        if model._meta.label_lower in exporting.WAYS_IN:
            assert not table.exists()
            continue
        rows = [json.loads(line) for line in table.read_text().splitlines()]
        with table.with_suffix(".csv").open(newline="") as file:
            cells = list(csv.DictReader(file))
        assert len(rows) == len(cells) == model._base_manager.count()
        assert {row["id"] for row in rows if "id" in row} == set(
            model._base_manager.values_list("pk", flat=True) if rows and "id" in rows[0] else ()
        )


def test_the_sums_are_those_of_the_ledger(exported):
    rows = [
        json.loads(line) for line in (exported / "tables" / "money_posting.jsonl").read_text().splitlines()
    ]
    assert {row["id"]: row["minor"] for row in rows} == dict(Posting.objects.values_list("pk", "minor"))
    # Loaded by the open tool, not by us.
    entries, errors, _options = loader.load_file(str(exported / "ledger" / "ledger.beancount"))
    assert errors == []
    assert any(type(entry).__name__ == "Transaction" for entry in entries)
    assert (exported / "ledger" / "ledger.csv").read_text().startswith("entry,date,")


def test_pictures_are_there_by_name(exported):
    for picture in Picture.objects.all():
        assert (exported / "files" / "originals" / picture.original).is_file()


def test_nothing_lets_anybody_in(exported, owner):
    everything = b"".join(
        path.read_bytes() for path in exported.rglob("*") if path.is_file() and path.suffix != ".jpeg"
    )
    assert owner.email.encode() in everything
    assert Person.objects.get(pk=owner.pk).password.encode() not in everything
    assert b"argon2" not in everything and PASSWORD.encode() not in everything
    for column in exporting.SECRETS:
        assert f'"{column}":'.encode() not in everything


def test_the_description_names_every_column(exported):
    described = (exported / "README.txt").read_text()
    for model in exporting._exported():
        assert f"\n{model._meta.db_table} (" in described
    assert "commission_id: a row of record_commission" in described
    assert "weight_mct: PositiveIntegerField; weight, 0.001 ct" in described
    assert "Left out: whatever lets anybody in" in described


def test_it_is_a_zip_where_asked_and_overwrites_nothing(told, tmp_path, settings):
    settings.OUTBOX_DIR = tmp_path / "outbox"
    target = tmp_path / "all.zip"
    call_command("export", str(target))
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    with zipfile.ZipFile(io.BytesIO(target.read_bytes())) as bundle:
        assert bundle.testzip() is None
        assert "tables/record_commission.csv" in bundle.namelist()
    for again in (target, _full(tmp_path / "folder")):
        with pytest.raises(CommandError, match="never overwrites"):
            call_command("export", str(again))


def _full(folder: Path) -> Path:
    folder.mkdir()
    (folder / "mine.txt").write_text("mine")
    return folder


def test_no_cell_is_a_formula():
    assert [exporting._cell(value) for value in ("=1+1", "-3", "plain", None, 7, {"a": [1]})] == [
        "'=1+1",
        "'-3",
        "plain",
        "",
        7,
        '{"a": [1]}',
    ]
