"""Reads a presentation with python-pptx and prints what it holds as JSON."""

import json
import sys

from pptx import Presentation
from pptx.util import Emu


def paragraph(one):
    sizes = [run.font.size.pt for run in one.runs if run.font.size is not None]
    return {"text": "".join(run.text for run in one.runs), "level": one.level, "smallest": min(sizes, default=None)}


def shape(one):
    told = {
        "name": one.name,
        "kind": str(one.placeholder_format.type).split(" ")[0] if one.is_placeholder else None,
        "layout": None,
        "place": [Emu(n).pt for n in (one.left, one.top, one.width, one.height)],
        "description": one._element.xpath(".//p:cNvPr")[0].get("descr"),
    }
    if one.is_placeholder:
        # The placeholder of the layout that this one takes over from must be there.
        index = one.placeholder_format.idx
        told["layout"] = [
            holder.name for holder in one.part.slide.slide_layout.placeholders if holder.placeholder_format.idx == index
        ]
    if one.has_text_frame:
        told["paragraphs"] = [paragraph(p) for p in one.text_frame.paragraphs]
        fields = one._element.xpath(".//a:fld/@type")
        told["fields"] = fields
    if getattr(one, "has_table", False) and one.has_table:
        told["table"] = [[cell.text_frame.text for cell in row.cells] for row in one.table.rows]
        told["heads"] = one.table.first_row
        told["smallest"] = min(
            (run.font.size.pt for row in one.table.rows for cell in row.cells for p in cell.text_frame.paragraphs for run in p.runs),
            default=None,
        )
    if one.shape_type is not None and "PICTURE" in str(one.shape_type) or hasattr(one, "image"):
        try:
            image = one.image
            told["image"] = {"type": image.content_type, "size": list(image.size)}
        except (AttributeError, ValueError):
            pass
    return told


def read(path):
    deck = Presentation(path)
    core = deck.core_properties
    return {
        "size": [deck.slide_width.pt, deck.slide_height.pt],
        "masters": len(deck.slide_masters),
        "layouts": [layout.name for layout in deck.slide_layouts],
        "core": {"title": core.title, "author": core.author, "changed_by": core.last_modified_by, "created": str(core.created)},
        "slides": [
            {
                "layout": slide.slide_layout.name,
                "shapes": [shape(one) for one in slide.shapes],
                "notes": slide.notes_slide.notes_text_frame.text if slide.has_notes_slide else None,
            }
            for slide in deck.slides
        ],
    }


json.dump({path: read(path) for path in sys.argv[1:]}, sys.stdout)
