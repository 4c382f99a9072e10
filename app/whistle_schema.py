"""The whistle document as a JSON schema, made from its types and limits: `python -m app.whistle_schema` prints it.

What a schema cannot say (chambers in order, a window no wider than its bore) is held when a document is read.
"""
from __future__ import annotations

import sys
from typing import Any

import msgspec

from app.whistle import Whistle
from app.whistle_limits import (
    AIR_LIMITS,
    BODY_LIMITS,
    CHAMBER_LIMITS,
    MAX_CHAMBERS,
    MAX_TEXT_CHARACTERS,
    MIN_CHAMBERS,
    STOCK_LIMITS,
    UNSAID_CHAMBER_LIMITS,
    WHISTLE_LIMITS,
    Limit,
)

LIMITS_OF: dict[str, dict[str, Limit]] = {
    "Whistle": WHISTLE_LIMITS, "Air": AIR_LIMITS, "Chamber": CHAMBER_LIMITS | UNSAID_CHAMBER_LIMITS,
    "Body": BODY_LIMITS, "Stock": STOCK_LIMITS,
}  # fmt: skip
# The document says what it is, so these two are never left out.
ALWAYS = ["format", "version"]


def document_schema() -> dict[str, Any]:
    """The schema, as JSON Schema 2020-12."""
    schema = msgspec.json.schema(Whistle)
    for name, part in schema["$defs"].items():
        part["additionalProperties"] = False
        part.pop("description", None)  # the comment of a Python class is no reader's business
        for key, value in part["properties"].items():
            _limit(value, LIMITS_OF[name].get(key))
            if value.get("type") == "string":
                value["maxLength"] = MAX_TEXT_CHARACTERS
    whole = schema["$defs"]["Whistle"]
    whole["required"] = [*ALWAYS, *whole["required"]]
    whole["properties"]["chambers"] |= {"minItems": MIN_CHAMBERS, "maxItems": MAX_CHAMBERS}
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "Whistlewright whistle", **schema}


def schema_bytes() -> bytes:
    return msgspec.json.format(msgspec.json.encode(document_schema()), indent=2) + b"\n"


def _limit(value: dict[str, Any], limit: Limit | None) -> None:
    if limit is None:
        return
    numbers = [value, *value.get("anyOf", [])]
    for number in numbers:
        if number.get("type") == "number":
            number |= {"minimum": limit.low, "maximum": limit.high}


if __name__ == "__main__":
    sys.stdout.buffer.write(schema_bytes())
