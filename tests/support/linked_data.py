"""Holds linked data to the published vocabulary of schema.org, without a network.

Arguments: the folder of rdflib, then the folder of files ending in .jsonld. The files' context stands on the web; in its
place goes what it says of plain names: they are words of schema.org. Prints one JSON object: how many statements were read, and
every type and property that schema.org does not know or that stands where it does not belong.
"""

import json
import sys
from pathlib import Path

packages, folder = sys.argv[1:3]
sys.path.insert(0, packages)

from rdflib import RDF, BNode, Graph, Literal  # noqa: E402
from rdflib.namespace import SDO  # noqa: E402

VOCABULARY = "https://schema.org/"
BASE = "https://library.example/"


def known(address):
    text = str(address)
    return text.startswith(VOCABULARY) and text[len(VOCABULARY):] in SDO


def is_type(address):
    """schema.org writes types with a capital and properties without."""
    return str(address)[len(VOCABULARY):][:1].isupper()


statements = 0
types, properties, wrong = set(), set(), []
for path in sorted(Path(folder).glob("*.jsonld")):
    data = json.loads(path.read_text(encoding="utf-8"))
    if data["@context"] != "https://schema.org":
        wrong.append(f"{path.name}: the context is {data['@context']!r}")
    data["@context"] = {"@vocab": VOCABULARY}
    graph = Graph().parse(data=json.dumps(data), format="json-ld", publicID=BASE + path.name)
    statements += len(graph)
    for subject, predicate, value in graph:
        if predicate == RDF.type:
            types.add(str(value)[len(VOCABULARY):])
            if not (known(value) and is_type(value)):
                wrong.append(f"{path.name}: no type {value}")
        else:
            properties.add(str(predicate)[len(VOCABULARY):])
            if not known(predicate) or is_type(predicate):
                wrong.append(f"{path.name}: no property {predicate}")
            if not isinstance(value, (BNode, Literal)):
                wrong.append(f"{path.name}: {predicate} is {value!r}")
    nameless = [node for node in graph.subjects(unique=True) if (node, RDF.type, None) not in graph]
    if nameless:
        wrong.append(f"{path.name}: {len(nameless)} things have no type")

print(json.dumps({
    "statements": statements,
    "types": sorted(types),
    "properties": sorted(properties),
    "wrong": wrong,
}))
