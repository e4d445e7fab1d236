"""The client book: tables, store, migrations."""
