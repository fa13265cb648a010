"""The tables of the index. It holds nothing that the cases do not say, so it can be made anew at any time."""

from typing import Final

VERSION: Final = 4
"""Raised whenever the tables, or what is written into them of the same case, come out differently."""

TABLES: Final = """
CREATE TABLE vocabularies (id INTEGER PRIMARY KEY, digest BLOB NOT NULL UNIQUE, data BLOB NOT NULL);
CREATE TABLE terms (id INTEGER PRIMARY KEY, vocabulary INTEGER NOT NULL, iri TEXT NOT NULL, UNIQUE (vocabulary, iri));
CREATE TABLE roles (id INTEGER PRIMARY KEY, data BLOB NOT NULL UNIQUE);
CREATE TABLE cases (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE,
    stamp TEXT NOT NULL,
    fault TEXT NOT NULL,
    vocabulary INTEGER,
    iri TEXT,
    revision INTEGER,
    blind_to TEXT,
    title TEXT,
    eye TEXT,
    duration INTEGER,
    is_altered INTEGER,
    roles INTEGER
);
CREATE TABLE facts (of_case INTEGER NOT NULL, name TEXT NOT NULL, value TEXT NOT NULL);
CREATE TABLE tags (
    id INTEGER PRIMARY KEY,
    of_case INTEGER NOT NULL,
    term INTEGER NOT NULL,
    start INTEGER NOT NULL,
    end INTEGER,
    performer TEXT,
    inner_place INTEGER NOT NULL,
    outer_place INTEGER NOT NULL,
    confirmed INTEGER NOT NULL
);
CREATE TABLE settled (tag INTEGER NOT NULL, of_case INTEGER NOT NULL, term INTEGER NOT NULL);
CREATE VIRTUAL TABLE words USING fts5 (said, tokenize = 'unicode61 remove_diacritics 2');
CREATE INDEX facts_by_case ON facts (of_case);
CREATE INDEX tags_by_case ON tags (of_case);
CREATE INDEX tags_by_term ON tags (term);
CREATE INDEX settled_by_term ON settled (term);
CREATE INDEX settled_by_case ON settled (of_case);
"""
"""What is not plain from the names:

cases.fault      why the file could not be read; then all behind it is NULL, as where the file holds no case
cases.name       its path from the library's folder
vocabularies     each once, as msgspec writes it, compressed; `terms` numbers the concepts of each
roles            each list once, as msgspec writes it
tags.end         NULL while it runs
tags.*_place     the fields of its place as bits
settled          what a tag counts for by where it lies, and not by its concept
words            by the number of its tag: the note, the strength, and what its step was written as
"""
