"""Reads a file of an office program as what it is, a container of parts, and says what is wrong with it.

ECMA-376-2 (Open Packaging Conventions): every part has a type, every relation leads to a part, every part
but the list of types and the relations is reached. Prints a list of faults as JSON; empty when it is fine.
"""

import json
import posixpath
import sys
import zipfile

from lxml import etree

TYPES = "{http://schemas.openxmlformats.org/package/2006/content-types}"
RELATIONS = "{http://schemas.openxmlformats.org/package/2006/relationships}"
OFFICE = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
STRICT = etree.XMLParser(resolve_entities=False, no_network=True)


def owner(relations):
    folder, name = posixpath.split(relations)
    return posixpath.normpath(posixpath.join(folder, "..", name[: -len(".rels")]))


def check(path):
    faults = []
    with zipfile.ZipFile(path) as archive:
        if archive.testzip():
            faults.append("a part is damaged")
        infos = archive.infolist()
        names = [info.filename for info in infos]
        if names[0] != "[Content_Types].xml":
            faults.append("the list of types does not come first")
        if len(set(name.lower() for name in names)) != len(names):
            faults.append("two parts have one name")
        for info in infos:
            if info.date_time != (1980, 1, 1, 0, 0, 0):
                faults.append(f"{info.filename} has the date {info.date_time}")
            if info.filename.startswith("/") or ".." in info.filename.split("/"):
                faults.append(f"{info.filename} is no name of a part")
        trees = {}
        for name in names:
            if name.endswith((".xml", ".rels")):
                try:
                    trees[name] = etree.fromstring(archive.read(name), STRICT)
                except etree.XMLSyntaxError as error:
                    faults.append(f"{name} is no XML: {error}")
    types = trees["[Content_Types].xml"]
    by_ending = {default.get("Extension").lower() for default in types.iter(TYPES + "Default")}
    by_name = {override.get("PartName").lstrip("/") for override in types.iter(TYPES + "Override")}
    for name in names:
        if name == "[Content_Types].xml" or name.endswith(".rels"):
            continue
        if name not in by_name and name.rsplit(".", 1)[-1].lower() not in by_ending:
            faults.append(f"{name} has no type")
        if name.endswith(".xml") and name not in by_name:
            faults.append(f"{name} has only the type of all XML")
    for name in by_name - set(names):
        faults.append(f"{name} has a type and is not there")
    reached = set()
    for name, tree in trees.items():
        if not name.endswith(".rels"):
            continue
        of = owner(name)
        if of != "." and of not in names:
            faults.append(f"{name} is of no part")
        ids = [relation.get("Id") for relation in tree.iter(RELATIONS + "Relationship")]
        if len(set(ids)) != len(ids):
            faults.append(f"{name} has a relation twice")
        for relation in tree.iter(RELATIONS + "Relationship"):
            target = relation.get("Target")
            if relation.get("TargetMode") == "External":
                if not target.startswith(("https://", "http://", "mailto:")) or not relation.get("Type").endswith("/hyperlink"):
                    faults.append(f"{name} leads out to {target}")
                continue
            part = posixpath.normpath(posixpath.join(posixpath.dirname(of), target)) if not target.startswith("/") else target[1:]
            reached.add(part)
            if part not in names:
                faults.append(f"{name} leads to {target}, which is not there")
        if of in trees:
            used = {value for node in trees[of].iter() for key, value in node.attrib.items() if key.startswith(OFFICE)}
            for id in used - set(ids):
                faults.append(f"{of} uses the relation {id}, which is not there")
    for name in names:
        if name == "[Content_Types].xml" or name.endswith(".rels") or name in reached:
            continue
        faults.append(f"{name} is reached from nowhere")
    for name, tree in trees.items():
        drawn = [node.get("id") for node in tree.iter() if etree.QName(node).localname in ("cNvPr", "docPr") and "pic" not in etree.QName(node).namespace]
        if len(set(drawn)) != len(drawn):
            faults.append(f"{name} has two shapes of one number")
    return faults


json.dump({path: check(path) for path in sys.argv[1:]}, sys.stdout)
