"""Makes a presentation as a department might have one, with all that has to stay behind: slides with notes, a link
outside, a picture of another kind, the name of who made it. Arguments: the file, then its width and height in points."""

import io
import sys

from PIL import Image, PngImagePlugin
from pptx import Presentation
from pptx.dml.color import RGBColor
from pptx.oxml import parse_xml
from pptx.util import Pt

path, width, height = sys.argv[1], float(sys.argv[2]), float(sys.argv[3])
deck = Presentation()
across, down = Pt(width) / deck.slide_width, Pt(height) / deck.slide_height
deck.slide_width, deck.slide_height = Pt(width), Pt(height)
deck.core_properties.author = "SECRET AUTHOR"
deck.core_properties.title = "SECRET TITLE"


def stretch(shapes):
    for shape in shapes:
        if shape._element.xpath("./p:spPr/a:xfrm"):
            shape.left, shape.width = int(shape.left * across), int(shape.width * across)
            shape.top, shape.height = int(shape.top * down), int(shape.height * down)


master = deck.slide_master
stretch(master.shapes)
for layout in deck.slide_layouts:
    stretch(layout.shapes)
# Badges of the department on the master, with who made them and where beside their pixels; one of a kind that is left
# behind.
exif = Image.Exif()
exif[0x013B] = "SECRET ARTIST"
exif[0x010E] = "SECRET PLACE"
info = PngImagePlugin.PngInfo()
info.add_text("Author", "SECRET AUTHOR")
info.add_itxt("XML:com.adobe.xmp", "<x:xmpmeta xmlns:x='adobe:ns:meta/'>SECRET</x:xmpmeta>")
kinds = [
    ("PNG", {"pnginfo": info, "exif": exif}),
    ("JPEG", {"exif": exif, "comment": b"SECRET COMMENT"}),
    ("GIF", {"comment": b"SECRET COMMENT"}),
    ("TIFF", {"exif": exif}),
]
for number, (kind, beside) in enumerate(kinds):
    badge = io.BytesIO()
    Image.new("RGB", (60, 20), (160, 20 + 40 * number, 80)).save(badge, kind, **beside)
    assert b"SECRET" in badge.getvalue(), kind
    part, relation = master.part.get_or_add_image_part(badge)
    picture = parse_xml(
        f"""<p:pic xmlns:p="http://schemas.openxmlformats.org/presentationml/2006/main"
      xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main"
      xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">
      <p:nvPicPr><p:cNvPr id="{77 + number}" name="Badge"/><p:cNvPicPr/><p:nvPr userDrawn="1"/></p:nvPicPr>
      <p:blipFill><a:blip r:embed="{relation}"/><a:stretch><a:fillRect/></a:stretch></p:blipFill>
      <p:spPr><a:xfrm><a:off x="{Pt(width - 40)}" y="{Pt(6 + 12 * number)}"/><a:ext cx="{Pt(30)}" cy="{Pt(10)}"/></a:xfrm>
      <a:prstGeom prst="rect"><a:avLst/></a:prstGeom></p:spPr></p:pic>"""
    )
    master.shapes._spTree.append(picture)
for holder in master.placeholders:
    if holder.placeholder_format.idx == 0:
        holder.text_frame.paragraphs[0].runs and setattr(holder.text_frame.paragraphs[0].runs[0].font.color, "rgb", RGBColor(160, 20, 80))
slide = deck.slides.add_slide(deck.slide_layouts[1])
slide.shapes.title.text = "SECRET SLIDE"
run = slide.placeholders[1].text_frame.paragraphs[0].add_run()
run.text = "SECRET TEXT"
run.hyperlink.address = "https://example.org/secret"
slide.notes_slide.notes_text_frame.text = "SECRET NOTE"
deck.save(path)
