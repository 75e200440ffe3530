"""Looks into every part of containers for what must not be in them. Prints where it stands as JSON."""

import json
import sys
import zipfile

WORDS = [b"SECRET", b"example.org/secret", b"steve canny", b"python-pptx"]


def find(path):
    found = []
    with zipfile.ZipFile(path) as archive:
        for name in archive.namelist():
            data = archive.read(name).lower()
            found += [f"{word.decode()} in {name}" for word in WORDS if word.lower() in data or word.lower() in name.encode().lower()]
    return found


json.dump({path: find(path) for path in sys.argv[1:]}, sys.stdout)
