from django.db import migrations

from studio.guards import kept_once, only_grows


class Migration(migrations.Migration):
    """What was sent stays as it was sent, in the database itself; a check of a model is only ever added."""

    dependencies = [("design", "0003_files_and_checks")]
    operations = [
        kept_once(
            "design_revision",
            closed="OLD.status <> 'draft'",
            columns=(
                "commission_id",
                "letter",
                "parent_id",
                "parameters",
                "outputs",
                "engine",
                "differences",
                "files",
                "note",
                "reason",
                "despite",
                "made_by_id",
                "made_at",
                "sent_at",
            ),
            never="NEW.status = 'draft'",
            words="what was sent is not changed: draft the next revision",
        ),
        kept_once(
            "design_revisionfile",
            closed="OLD.sealed_at IS NOT NULL",
            columns=(
                "revision_id",
                "kind",
                "name",
                "form",
                "words",
                "picture_id",
                "stored",
                "sha256",
                "bytes",
                "facts",
                "added_by_id",
                "added_at",
                "sealed_at",
            ),
            words="a file that was sent stays: draft the next revision",
        ),
        only_grows("design_modelcheck"),
    ]
