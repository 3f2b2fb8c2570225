"""Documents held against the published schemas, by jsonschema (JSON Schema 2020-12)."""

from __future__ import annotations

import datetime as dt
import json
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
from referencing import Registry, Resource

import palette

SCHEMAS = Path(palette.__file__).parent / "data" / "schemas"
GOLDEN = Path(__file__).resolve().parents[1] / "data" / "formats" / "v1"

KIND_OF_GOLDEN = {
    "brief.toml": "brief",
    "brief-whole.toml": "brief",
    "brief-run.toml": "brief",
    "rules.toml": "rules",
    "wall.toml": "wall",
    "paints.toml": "paints",
    "lamp.toml": "lamp",
    "plan.toml": "plan",
    "scheme.json": "scheme",
    "scheme-drawn.json": "scheme",
    "scheme-with-seconds.json": "scheme",
    "page.json": "page",
    "photo-list.toml": "photo-list",
    "job.json": "job",
    "summary.json": "summary",
}


@cache
def checker(kind: str) -> jsonschema.Draft202012Validator:
    """Return the validator of a kind; schemas find each other by their file names."""
    resources = [
        (path.name, Resource.from_contents(json.loads(path.read_text("utf-8"))))
        for path in sorted(SCHEMAS.glob("*.schema.json"))
    ]
    validator = jsonschema.Draft202012Validator
    return validator(
        {"$ref": f"{kind}.schema.json"},
        registry=Registry().with_resources(resources),
        format_checker=validator.FORMAT_CHECKER,
    )


def faults(document: Any, kind: str) -> list[str]:
    """Return what a schema finds wrong with a document, as far down as it can be said."""
    return [
        f"{best.json_path}: {best.message}"
        for error in checker(kind).iter_errors(document)
        for best in [jsonschema.exceptions.best_match([error])]
    ]


def as_json(value: Any) -> Any:
    """Return TOML values as the JSON values the schemas describe: dates and times by their text."""
    if isinstance(value, dict):
        return {key: as_json(entry) for key, entry in value.items()}
    if isinstance(value, list):
        return [as_json(entry) for entry in value]
    return value.isoformat() if isinstance(value, (dt.date, dt.time)) else value


def load(path: Path) -> Any:
    """Return the document of a TOML or JSON file."""
    text = path.read_text("utf-8")
    return tomllib.loads(text) if path.suffix == ".toml" else json.loads(text)
