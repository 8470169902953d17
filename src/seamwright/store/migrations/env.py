"""Run by Alembic for every migration; the connection is handed over by ``store.opening``."""

from alembic import context

connection = context.config.attributes["connection"]
context.configure(connection=connection, render_as_batch=True)
with context.begin_transaction():
    context.run_migrations()
