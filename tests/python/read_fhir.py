"""Reads bundles of FHIR R5 with fhir.resources, which is generated from the standard's definitions and refuses elements
that it does not know. Checks what the definitions say beyond structure, as far as these bundles use it. Prints faults and
the mechanism of each event as JSON."""

import json
import sys

from fhir.resources import get_fhir_model_class
from fhir.resources.bundle import Bundle


def concepts(concept):
    for one in concept or []:
        yield one
        yield from concepts(one.concept)


def codings(node):
    """Every Coding of a piece of JSON."""
    if isinstance(node, dict):
        if "system" in node and "code" in node:
            yield node
        for value in node.values():
            yield from codings(value)
    elif isinstance(node, list):
        for value in node:
            yield from codings(value)


def references(node):
    if isinstance(node, dict):
        if isinstance(node.get("reference"), str):
            yield node["reference"]
        for value in node.values():
            yield from references(value)
    elif isinstance(node, list):
        for value in node:
            yield from references(value)


def empty(node):
    """Whether some part holds nothing, which FHIR's JSON forbids."""
    if isinstance(node, dict):
        return not node or any(map(empty, node.values()))
    if isinstance(node, list):
        return not node or any(map(empty, node))
    return node is None or node == ""


def read(path):
    with open(path, encoding="utf-8") as file:
        text = file.read()
    raw = json.loads(text)
    faults, mechanisms = [], []
    try:
        bundle = Bundle.model_validate_json(text)
    except ValueError as error:
        return {"faults": [str(error)], "mechanisms": []}
    if empty(raw):
        faults.append("something is empty")
    if bundle.type != "collection":
        faults.append("no collection")
    urls = [entry.fullUrl for entry in bundle.entry]
    if len(set(urls)) != len(urls) or not all(urls):
        faults.append("fullUrl is missing or twice (bdl-7)")
    known = {}
    for entry, plain in zip(bundle.entry, raw["entry"]):
        kind = plain["resource"]["resourceType"]
        model = get_fhir_model_class(kind)
        # The class itself says no to an element that the standard does not have.
        try:
            model.model_validate(plain["resource"])
        except ValueError as error:
            faults.append(str(error))
        if kind == "CodeSystem":
            system = entry.resource
            every = list(concepts(system.concept))
            codes = [one.code for one in every]
            if len(set(codes)) != len(codes):
                faults.append(f"{system.name}: a code is twice (csd-1)")
            if system.count != len(codes):
                faults.append(f"{system.name}: count {system.count} of {len(codes)} concepts")
            known[system.url] = {one.code: one.display for one in every}
        elif kind == "AdverseEvent":
            mechanisms.append(entry.resource.code.coding[0].code)
            inside = {"#" + one["id"] for one in plain["resource"]["contained"]}
            used = set(references(plain["resource"]))
            if inside != used:
                faults.append(f"contained {inside}, referred to {used} (dom-3)")
    for entry in raw["entry"]:
        if entry["resource"]["resourceType"] != "AdverseEvent":
            continue
        for coding in codings(entry["resource"]):
            system = coding["system"]
            if system.startswith("http://terminology.hl7.org/"):
                continue
            if coding["code"] not in known.get(system, {}):
                faults.append(f"{coding} is in no code system of the bundle")
            elif coding.get("display") != known[system][coding["code"]]:
                faults.append(f"{coding} is displayed otherwise than it is defined")
    return {"faults": faults, "mechanisms": mechanisms}


json.dump({path: read(path) for path in sys.argv[1:]}, sys.stdout)
