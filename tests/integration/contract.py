"""Holds the description of the program against the published rules of OpenAPI, and replies against their schemas.

Arguments: the document, then pairs of the name of a schema and a file with a reply.
"""
import copy
import json
import sys

from jsonschema import Draft202012Validator
from openapi_spec_validator import OpenAPIV31SpecValidator


def load(path):
    with open(path, encoding="utf-8") as file:
        return json.load(file)


def closed(schema):
    """The same schema without room for keys that it does not name."""
    if isinstance(schema, dict):
        schema = {key: closed(value) for key, value in schema.items()}
        if "properties" in schema and "additionalProperties" not in schema:
            schema["additionalProperties"] = False
        return schema
    return [closed(each) for each in schema] if isinstance(schema, list) else schema


document = load(sys.argv[1])
OpenAPIV31SpecValidator(document).validate()
strict = closed(copy.deepcopy(document["components"]))
for name in strict["schemas"]:
    Draft202012Validator.check_schema(document["components"]["schemas"][name])

faults = []
pairs = list(zip(sys.argv[2::2], sys.argv[3::2]))
assert pairs, "no reply to look at"
for name, path in pairs:
    schema = {"$ref": f"#/components/schemas/{name}", "components": strict}
    for fault in Draft202012Validator(schema).iter_errors(load(path)):
        faults.append(f"{name} in {path}: {'/'.join(map(str, fault.absolute_path))}: {fault.message[:300]}")
assert not faults, "\n".join(faults[:20])
