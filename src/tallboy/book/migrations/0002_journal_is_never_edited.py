"""The database itself refuses to change or delete a journal row. SQLite and PostgreSQL each in their own words."""

from django.db import migrations

SQLITE = [
    """CREATE TRIGGER journal_no_change BEFORE UPDATE ON book_journal
       BEGIN SELECT RAISE(ABORT, 'the journal is never edited'); END""",
    """CREATE TRIGGER journal_no_delete BEFORE DELETE ON book_journal
       BEGIN SELECT RAISE(ABORT, 'the journal is never edited'); END""",
]
POSTGRESQL = [
    """CREATE FUNCTION journal_is_never_edited() RETURNS trigger LANGUAGE plpgsql AS $$
       BEGIN RAISE EXCEPTION 'the journal is never edited'; END $$""",
    """CREATE TRIGGER journal_no_change BEFORE UPDATE OR DELETE ON book_journal
       FOR EACH ROW EXECUTE FUNCTION journal_is_never_edited()""",
]
UNDO = {
    "sqlite": ["DROP TRIGGER journal_no_change", "DROP TRIGGER journal_no_delete"],
    "postgresql": ["DROP TRIGGER journal_no_change ON book_journal", "DROP FUNCTION journal_is_never_edited()"],
}


def install(apps, schema_editor):
    statements = {"sqlite": SQLITE, "postgresql": POSTGRESQL}[schema_editor.connection.vendor]
    for statement in statements:
        schema_editor.execute(statement)


def remove(apps, schema_editor):
    for statement in UNDO[schema_editor.connection.vendor]:
        schema_editor.execute(statement)


class Migration(migrations.Migration):
    dependencies = [("book", "0001_initial")]
    operations = [migrations.RunPython(install, remove)]
