"""One step of the tables for each version of the store, as they were then; see :mod:`app.store.migrating`."""
