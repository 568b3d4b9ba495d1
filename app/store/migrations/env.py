"""Run by Alembic, once for each command: migrates on the connection it is given, in that one's transaction."""

from alembic import context

context.configure(connection=context.config.attributes["connection"])
context.run_migrations()
