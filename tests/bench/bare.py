"""The least there is of the same kind: one page by FastAPI, Jinja and SQLAlchemy, to start beside the app.

It reads a table of an SQLite file and fills a template; nothing else. ``python -m tests.bench.bare PORT FILE``.
"""

from __future__ import annotations

import sys

import uvicorn
from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from jinja2 import Environment
from sqlalchemy import Column, Integer, MetaData, String, Table, create_engine, insert, select

_PAGE = "<!doctype html><title>{{ title }}</title><ul>{% for row in rows %}<li>{{ row.name }}{% endfor %}</ul>"


def create_bare(file: str) -> FastAPI:
    """An application of one page over the table in ``file``, which is made."""
    tables = MetaData()
    names = Table("names", tables, Column("id", Integer, primary_key=True), Column("name", String))
    engine = create_engine(f"sqlite:///{file}")
    tables.create_all(engine)
    with engine.begin() as connection:
        connection.execute(insert(names), [{"name": f"Row {n}"} for n in range(5)])
    template = Environment(autoescape=True).from_string(_PAGE)
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)

    @app.get("/", response_class=HTMLResponse)
    def page() -> str:
        with engine.connect() as connection:
            rows = connection.execute(select(names.c.name)).all()
        return template.render(title="Names", rows=rows)

    return app


if __name__ == "__main__":
    uvicorn.run(create_bare(sys.argv[2]), port=int(sys.argv[1]), log_level="warning", access_log=False)
