"""Reads a Word file with python-docx and prints what it holds as JSON."""

import json
import sys

from docx import Document


def read(path):
    document = Document(path)
    core = document.core_properties
    body = document.element.body
    section = document.sections[0]
    return {
        "core": {"title": core.title, "author": core.author, "changed_by": core.last_modified_by, "created": str(core.created)},
        "paragraphs": [{"style": p.style.name, "text": p.text} for p in document.paragraphs],
        "tables": [
            {
                "rows": [[cell.text for cell in row.cells] for row in table.rows],
                "heads_repeat": bool(table.rows[0]._tr.xpath("./w:trPr/w:tblHeader")),
            }
            for table in document.tables
        ],
        "pictures": [node.get("descr") for node in body.iter("{http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing}docPr")],
        "header": "\n".join(p.text for p in section.header.paragraphs),
        "footer": "\n".join(p.text for p in section.footer.paragraphs),
        "fields": section.footer._element.xpath(".//w:instrText/text()"),
        "language": document.styles.element.xpath("./w:docDefaults//w:lang/@w:val")[0],
    }


json.dump({path: read(path) for path in sys.argv[1:]}, sys.stdout)
