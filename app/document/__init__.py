"""The design file: schema, reading, writing, migrating, resolving."""
