"""Makes files with everything beside their pixels that a picture can hold, and reads pictures, with Pillow, pydicom and
numpy: libraries that know nothing of Relook.

  pictures.py make FOLDER         writes the files; every text in them holds the mark
  pictures.py samples             where pydicom keeps its sample files
  pictures.py identifying FILE    names, numbers and dates that a DICOM file holds, a line each
  pictures.py grey FILE FRAME …   each frame as bytes of grey or colour, raw, each after its length (8 bytes), on standard
                                  output
  pictures.py pixels FILE         a PNG or JPEG as bytes of grey or colour, raw, on standard output
  pictures.py look FILE           every frame as it looks, with its size, on standard output
  pictures.py beside FILE         what a picture holds beside its pixels, a line each
"""

import pathlib
import sys

MARK = "ZQTOLLAND"


def drawn(width=96, height=64):
    from PIL import Image

    return Image.frombytes("L", (width, height), bytes((x * 2 + y * 3) % 256 for y in range(height) for x in range(width)))


def make(folder):
    from PIL import Image, ImageCms, PngImagePlugin

    folder.mkdir(parents=True, exist_ok=True)
    picture = drawn()
    exif = Image.Exif()
    exif[0x010E] = f"{MARK} description"
    exif[0x013B] = f"{MARK} artist"
    exif[0x0132] = "2024:03:04 14:05:00"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    info = PngImagePlugin.PngInfo()
    info.add_text("Title", f"{MARK} tEXt")
    info.add_text("Comment", f"{MARK} zTXt", zip=True)
    info.add_itxt("XML:com.adobe.xmp", f"<x:xmpmeta xmlns:x='adobe:ns:meta/'>{MARK} iTXt</x:xmpmeta>")
    info.add(b"tIME", bytes([7, 232, 3, 4, 14, 5, 0]))
    picture.save(folder / "all.png", pnginfo=info, exif=exif, icc_profile=profile, dpi=(300, 300))
    colour = Image.merge("RGB", (picture, picture.transpose(1), picture.transpose(0)))
    colour.save(folder / "all.jpg", quality=90, exif=exif, icc_profile=profile, comment=f"{MARK} comment".encode(),
                xmp=f"<x:xmpmeta xmlns:x='adobe:ns:meta/'>{MARK} xmp</x:xmpmeta>".encode())
    exif[0x0112] = 6
    colour.save(folder / "turned.jpg", quality=95, exif=exif)
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 30.0, 26.0), 3: "W", 4: (0.0, 7.0, 39.0), 29: "2024:03:04"})
    colour.save(folder / "placed.jpg", quality=95, exif=exif, comment=f"{MARK} comment".encode())
    del exif[0x0112]
    colour.save(folder / "placed.png", exif=exif)
    colour.save(folder / "progressive.jpg", quality=90, progressive=True)
    picture.save(folder / "running.gif", save_all=True, append_images=[picture.transpose(0), picture.transpose(1)],
                 duration=80, loop=3)
    colour.convert("CMYK").save(folder / "four-inks.jpg", quality=95, exif=exif)
    for mode in ["1", "P", "LA", "RGBA", "I;16"]:
        source = colour if mode in ("P", "RGBA") else picture
        made = Image.new("I;16", source.size) if mode == "I;16" else source.convert(mode)
        made.save(folder / f"mode-{mode.replace(';', '-')}.png")
    runs(folder)


def runs(folder):
    """Runs as a cath lab keeps them, invented: each frame a ramp of its own."""
    import numpy
    from pydicom.dataset import Dataset, FileMetaDataset
    from pydicom.uid import ExplicitVRLittleEndian, ImplicitVRLittleEndian, RLELossless, generate_uid

    def run(name, syntax, photometric="MONOCHROME2", bits=8, frames=12, compress=None):
        rows, columns = 48, 64
        steps = numpy.arange(rows * columns).reshape(rows, columns)
        kind = numpy.uint8 if bits == 8 else numpy.uint16
        stack = numpy.stack([(steps * (frame + 1)) % (1 << bits) for frame in range(frames)]).astype(kind)
        ds = Dataset()
        ds.SOPClassUID = "1.2.840.10008.5.1.4.1.1.12.1"
        ds.SOPInstanceUID = generate_uid()
        ds.StudyInstanceUID, ds.SeriesInstanceUID = generate_uid(), generate_uid()
        ds.Modality = "XA"
        ds.PatientName, ds.PatientID = f"{MARK}^Maud", f"{MARK}4471902"
        ds.PatientBirthDate, ds.StudyDate, ds.StudyTime = "19310402", "20240304", "140500"
        ds.InstitutionName, ds.AccessionNumber = f"{MARK} Infirmary", f"{MARK}-22"
        ds.ReferringPhysicianName = f"{MARK}^Marlow"
        ds.DeviceSerialNumber = f"{MARK}77A"
        item = Dataset()
        item.RequestedProcedureDescription = f"{MARK} requested"
        ds.RequestAttributesSequence = [item]
        ds.private_block(0x0011, f"{MARK} maker", create=True).add_new(1, "LO", f"{MARK} private")
        ds.BurnedInAnnotation = "NO"
        ds.PositionerPrimaryAngle, ds.PositionerSecondaryAngle = "-30", "-20"
        ds.Rows, ds.Columns, ds.NumberOfFrames, ds.SamplesPerPixel = rows, columns, str(frames), 1
        ds.PhotometricInterpretation = photometric
        ds.BitsAllocated = 8 if bits == 8 else 16
        ds.BitsStored, ds.HighBit, ds.PixelRepresentation = bits, bits - 1, 0
        if bits > 8:
            ds.WindowCenter, ds.WindowWidth = "2048", "3000"
        ds.PixelData = stack.tobytes()
        ds.file_meta = FileMetaDataset()
        ds.file_meta.TransferSyntaxUID = syntax
        if compress:
            ds.compress(compress, generate_instance_uid=False)
        ds.save_as(folder / name, enforce_file_format=True)

    run("run.dcm", ExplicitVRLittleEndian)
    run("run-white-first.dcm", ExplicitVRLittleEndian, photometric="MONOCHROME1")
    run("run-12.dcm", ImplicitVRLittleEndian, bits=12, frames=3)
    run("run-rle.dcm", ExplicitVRLittleEndian, compress=RLELossless)
    run("still-12-rle.dcm", ExplicitVRLittleEndian, bits=12, frames=1, compress=RLELossless)


def identifying(path):
    """Texts of a DICOM file that name somebody, so that they can be looked for elsewhere."""
    import pydicom

    found = set()
    for element in pydicom.dcmread(path, force=True).iterall():
        if element.VR in ("PN", "UI", "LO", "SH", "DA", "TM") and not element.keyword.endswith("SOPClassUID"):
            values = element.value if isinstance(element.value, (list, tuple)) or element.VM > 1 else [element.value]
            found.update(str(value) for value in values)
    # A short text stands in a database by chance.
    return sorted(text for text in found if len(text) >= 6)


def grey(path, frame):
    import numpy
    import pydicom
    from pydicom.pixels import apply_modality_lut, apply_windowing, pixel_array

    ds = pydicom.dcmread(path)
    array = pixel_array(ds, index=frame)
    if ds.SamplesPerPixel == 3:
        return array.astype(numpy.uint8).tobytes()
    if ds.BitsStored == 8 and ds.PixelRepresentation == 0:
        shaded = array.astype(float)
    else:
        values = apply_modality_lut(array, ds).astype(float)
        if "WindowCenter" in ds:
            first = lambda value: float(value[0]) if isinstance(value, pydicom.multival.MultiValue) else float(value)
            centre, width = first(ds.WindowCenter), first(ds.WindowWidth)
            # PS3.3 C.11.2.1.2.1.
            shaded = numpy.clip((values - (centre - 0.5)) / (width - 1) + 0.5, 0, 1) * 255
        else:
            shaded = (values - values.min()) / max(values.max() - values.min(), 1) * 255
    if ds.PhotometricInterpretation == "MONOCHROME1":
        shaded = 255 - shaded
    return numpy.rint(shaded).astype(numpy.uint8).tobytes()


def pixels(path):
    from PIL import Image, ImageOps

    picture = ImageOps.exif_transpose(Image.open(path))
    return picture.convert("L" if picture.mode in ("L", "1") else "RGB").tobytes()


def look(path):
    """Every frame with what is clear of it, how long it stays, and how often all run."""
    from PIL import Image, ImageOps, ImageSequence

    picture = Image.open(path)
    told = [repr((picture.info.get("loop"), bool(picture.info.get("icc_profile")))).encode()]
    for frame in ImageSequence.Iterator(picture):
        upright = ImageOps.exif_transpose(frame)
        told += [repr((upright.size, frame.info.get("duration"))).encode(), upright.convert("RGBA").tobytes()]
    return b"\n".join(told)


def beside(path):
    from PIL import Image

    picture = Image.open(path)
    picture.load()
    told = [f"{name}={value!r}" for name, value in picture.info.items()]
    told += [f"exif {tag}={value!r}" for tag, value in picture.getexif().items()]
    chunks = []
    data, at = pathlib.Path(path).read_bytes(), 8
    while at < len(data):
        chunks.append(data[at + 4 : at + 8].decode("latin-1"))
        at += 12 + int.from_bytes(data[at : at + 4], "big")
    told += [f"chunk {name}" for name in chunks if name not in ("IHDR", "IDAT", "IEND")]
    return told


def main():
    command, *rest = sys.argv[1:]
    if command == "make":
        make(pathlib.Path(rest[0]))
    elif command == "samples":
        import pydicom

        print(pathlib.Path(pydicom.__file__).parent / "data" / "test_files")
    elif command == "identifying":
        print("\n".join(identifying(rest[0])))
    elif command == "grey":
        for path, frame in zip(rest[::2], rest[1::2]):
            data = grey(path, int(frame))
            sys.stdout.buffer.write(len(data).to_bytes(8, "big") + data)
    elif command == "pixels":
        sys.stdout.buffer.write(pixels(rest[0]))
    elif command == "look":
        sys.stdout.buffer.write(look(rest[0]))
    elif command == "beside":
        print("\n".join(beside(rest[0])))


main()
