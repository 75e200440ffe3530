"""Checks JSON files against a JSON Schema of draft 2020-12 with jsonschema: the schema first, then the files. Prints a list
of faults of the schema and of each file as JSON."""

import json
import sys

from jsonschema import Draft202012Validator
from jsonschema.exceptions import SchemaError


def load(path):
    with open(path, encoding="utf-8") as file:
        return json.load(file)


schema = load(sys.argv[1])
faults = {}
try:
    Draft202012Validator.check_schema(schema)
    faults[sys.argv[1]] = []
except SchemaError as error:
    faults[sys.argv[1]] = [error.message]
validator = Draft202012Validator(schema)
for path in sys.argv[2:]:
    faults[path] = [f"{error.json_path}: {error.message}" for error in validator.iter_errors(load(path))]
json.dump(faults, sys.stdout)
