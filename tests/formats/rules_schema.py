"""Write rules.schema.json from the rules' own fields: ``python tests/formats/rules_schema.py``.

A test holds the file against what this makes, so that a new rule or option cannot be forgotten.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import palette
from palette.rules import KINDS, schema_of_kind

FILE = Path(palette.__file__).parent / "data" / "schemas" / "rules.schema.json"


def rules_schema() -> dict[str, Any]:
    """Return the schema of a file of rules, and of the ``[[rule]]`` tables of a brief."""
    kinds = {kind: schema_of_kind(kind) for kind in KINDS}
    files = {
        "panel": "layout file of the other panel, in place of facing",
        "scheme": "scheme file of the other panel",
    }
    seam = kinds["seam"]
    seam["properties"] |= {key: {"description": text, "type": "string"} for key, text in files.items()}
    seam["dependentRequired"] = {"panel": ["scheme"], "scheme": ["panel"]}
    seam["not"] = {"required": ["panel", "facing"]}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rules",
        "description": "A file of rules, TOML (rules.toml); a brief may hold the same tables.",
        "type": "object",
        "additionalProperties": False,
        "required": ["rule"],
        "properties": {
            "version": {
                "description": "Version of this kind of file; 1 where it is left out.",
                "const": palette.FORMATS["rules"].version,
            },
            "name": {"description": "For people."},
            "rule": {
                "description": "What is wanted, one [[rule]] table each.",
                "type": "array",
                "minItems": 1,
                "items": {"$ref": "#/$defs/rule"},
            },
        },
        "$defs": {"rule": {"oneOf": [{"$ref": f"#/$defs/{kind}"} for kind in kinds]}, **kinds},
    }


if __name__ == "__main__":
    FILE.write_text(json.dumps(rules_schema(), indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
