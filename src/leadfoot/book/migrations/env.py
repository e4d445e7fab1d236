"""Alembic runs this file for every migration; imported without Alembic it does nothing."""

from typing import Any, Literal

from alembic import context
from sqlalchemy.types import TypeDecorator

import leadfoot.book.homework_tables  # noqa: F401  (its tables belong to the book too)
from leadfoot.book.tables import Base


def plain_type(kind: str, item: Any, _: Any) -> str | Literal[False]:
    """Write the book's own types as the types below them: a migration may not change with code."""
    if kind == "type" and isinstance(item, TypeDecorator):
        return f"sa.{item.impl_instance!r}"
    return False


config = getattr(context, "config", None)
if config is not None:
    context.configure(
        connection=config.attributes["connection"],
        target_metadata=Base.metadata,
        render_as_batch=True,  # SQLite can alter little in place: Alembic copies the table instead
        render_item=plain_type,
        compare_type=True,
        compare_server_default=True,
    )
    with context.begin_transaction():
        context.run_migrations()
