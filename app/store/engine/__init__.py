"""How a database is talked to: files and servers alike."""
