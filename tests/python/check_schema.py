"""Checks files of office programs against the schemas and rules of ECMA-376, as openxml-audit carries them from
the Open XML SDK (MIT). Prints a list of faults as JSON."""

import json
import sys

from openxml_audit import OpenXmlValidator


def check(path):
    result = OpenXmlValidator().validate(path)
    return [f"{error.part_uri} {error.path}: {error.description}" for error in result.errors]


json.dump({path: check(path) for path in sys.argv[1:]}, sys.stdout)
