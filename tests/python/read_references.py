"""Reads BibTeX with bibtexparser and RIS with rispy. Prints the entries as JSON."""

import json
import sys

import bibtexparser
import rispy


def read(path):
    if path.endswith(".bib"):
        library = bibtexparser.parse_file(path)
        return {
            "faults": [str(block.error) for block in library.failed_blocks],
            "entries": [{"key": entry.key, **{field.key: field.value for field in entry.fields}} for entry in library.entries],
        }
    with open(path, encoding="utf-8", newline="") as file:
        text = file.read()
    return {"entries": rispy.loads(text)}


json.dump({path: read(path) for path in sys.argv[1:]}, sys.stdout)
