"""Reads PDF files with pikepdf and checks them with pdfua: what a reader of tags finds, page by page.

    read_pdf.py FILE...  prints a list, for each file: what it says of itself, its fonts, what it holds as pixels,
                         its tags with their texts, and what the checker of PDF/UA-1 (ISO 14289-1) found.
"""

import json
import sys

import pdfua
import pikepdf


def text_of(node):
    """An alternative text, or a heading's, as text."""
    return str(node) if node is not None else ""


def walk(node, found, roles, depth=0):
    """Counts tags and gathers alternative texts."""
    if isinstance(node, pikepdf.Array):
        for child in node:
            walk(child, found, roles, depth)
        return
    if not isinstance(node, pikepdf.Dictionary):
        return
    kind = node.get("/S")
    if kind is not None:
        name = str(kind)[1:]
        name = roles.get(name, name)
        found["tags"][name] = found["tags"].get(name, 0) + 1
        if name == "Figure":
            found["alternatives"].append(text_of(node.get("/Alt")))
        if name == "TH":
            scope = ""
            attributes = node.get("/A")
            if isinstance(attributes, pikepdf.Dictionary):
                attributes = [attributes]
            for attribute in attributes or []:
                if isinstance(attribute, pikepdf.Dictionary) and "/Scope" in attribute:
                    scope = str(attribute["/Scope"])[1:]
            found["scopes"][scope] = found["scopes"].get(scope, 0) + 1
    if "/K" in node:
        walk(node["/K"], found, roles, depth + 1)


def read(path):
    with pikepdf.open(path) as pdf:
        root = pdf.Root
        found = {"tags": {}, "alternatives": [], "scopes": {}}
        tree = root.get("/StructTreeRoot")
        roles = {str(k)[1:]: str(v)[1:] for k, v in (tree.get("/RoleMap") or {}).items()} if tree else {}
        if tree is not None:
            walk(tree.get("/K"), found, roles)
        fonts, images = {}, 0
        links = {"inside": 0, "outside": []}
        for page in pdf.pages:
            for note in page.get("/Annots") or []:
                if str(note.get("/Subtype")) != "/Link":
                    continue
                action = note.get("/A") or {}
                if "/URI" in action:
                    links["outside"].append(str(action["/URI"]))
                elif "/Dest" in note or "/D" in action:
                    links["inside"] += 1
            stack = [page.resources]
            while stack:
                resources = stack.pop()
                for font in (resources.get("/Font") or {}).values():
                    below = font["/DescendantFonts"][0] if "/DescendantFonts" in font else font
                    described = below.get("/FontDescriptor")
                    embedded = str(font.get("/Subtype")) == "/Type3" or (
                        described is not None and any(f"/FontFile{n}" in described for n in ("", "2", "3"))
                    )
                    fonts[str(font.get("/BaseFont", font.get("/Name", "Type3")))] = embedded
                for thing in (resources.get("/XObject") or {}).values():
                    if str(thing.get("/Subtype")) == "/Image":
                        images += 1
                    elif "/Resources" in thing:
                        stack.append(thing["/Resources"])
        with pdf.open_metadata() as metadata:
            found["conforms"] = metadata.get("pdfuaid:part", "")
            found["described"] = metadata.get("dc:title", "")
        found["language"] = str(root.get("/Lang", ""))
        found["marked"] = bool(root.get("/MarkInfo", {}).get("/Marked", False))
        found["pages"] = len(pdf.pages)
        found["outline"] = "/Outlines" in root
        found["fonts"] = fonts
        found["images"] = images
        found["links"] = links
        found["dates"] = [key for key in ("/CreationDate", "/ModDate") if key in pdf.docinfo]
    report = pdfua.validate(path)
    found["findings"] = [str(finding) for finding in report.findings]
    return found


if __name__ == "__main__":
    json.dump([read(path) for path in sys.argv[1:]], sys.stdout)
