"""The tables of a scenario as pieces of text, each kept once however many steps hold it."""

from __future__ import annotations

import hashlib
import json
import zlib
from collections.abc import Mapping

from planner.scenario.dictionary import CAMPAIGN
from planner.scenario.dictionary.price_book import PRICE_BOOK
from planner.scenario.raw import Form, RawTable, Tables


def manifest_of(tables: Tables) -> str:
    """Return which pieces a scenario is made of, by their hashes."""
    parts = {name: _hash(body) for name, body in _bodies(tables).items()}
    return json.dumps({"form": str(tables.form), "parts": parts}, sort_keys=True)


def content_hash(manifest: str) -> str:
    """Return one name for a whole content; folder or workbook does not matter."""
    parts = json.loads(manifest)["parts"]
    return _hash(json.dumps(parts, sort_keys=True).encode())


def content_of(tables: Tables) -> str:
    """Return one name for the whole content of a scenario."""
    return content_hash(manifest_of(tables))


def table_content(table: RawTable) -> str:
    """Return one name for the content of a table."""
    return _hash(_table_body(table))


def packed(tables: Tables) -> dict[str, bytes]:
    """Return the pieces of a scenario by their hashes, packed to be kept."""
    return {_hash(body): zlib.compress(body, 1) for body in _bodies(tables).values()}


def tables_of(manifest: str, bodies: Mapping[str, bytes]) -> Tables:
    """Return the scenario that a manifest and its pieces stand for."""
    told = json.loads(manifest)
    texts = {name: json.loads(zlib.decompress(bodies[key])) for name, key in told["parts"].items()}
    book = dict(texts.pop(PRICE_BOOK, ()))
    return Tables(
        campaign=dict(texts.pop(CAMPAIGN)),
        tables={
            name: RawTable(
                columns=tuple(text["columns"]), rows=tuple(tuple(row) for row in text["rows"])
            )
            for name, text in texts.items()
        },
        form=Form(told["form"]),
        book=book,
    )


def _bodies(tables: Tables) -> dict[str, bytes]:
    keys = {CAMPAIGN: tables.campaign} | ({PRICE_BOOK: tables.book} if tables.book else {})
    books = {name: json.dumps(list(entries.items())).encode() for name, entries in keys.items()}
    return books | {name: _table_body(table) for name, table in tables.tables.items()}


def _table_body(table: RawTable) -> bytes:
    return json.dumps({"columns": table.columns, "rows": table.rows}).encode()


def _hash(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()
