"""Reads a part's XML from start to end, as a stream, to see that reading it is safe."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import IO
from xml.parsers import expat

from .faults import shown
from .formula_check import Formulas, check_name
from .limits import DEEPEST, LARGEST_TOKEN, MOST_NAMES, SPARE_ELEMENTS
from .refused import CONNECTION, LINKS, MACROS, OBJECT, RIBBON, Refused, active, too_much

_CHUNK = 65_536
_ENCODINGS = re.compile(r"utf-?8|utf-?16(?:le|be)?|us-ascii", re.IGNORECASE)

_REFUSED_ROOTS = {
    "macrosheet": MACROS, "dialogsheet": MACROS, "vbaSuppData": MACROS,
    "externalLink": LINKS,
    "connections": CONNECTION, "queryTable": CONNECTION, "MapInfo": CONNECTION, "volTypes": CONNECTION,
    "ocx": OBJECT,
    "customUI": RIBBON, "webextension": RIBBON, "taskpanes": RIBBON,
}  # fmt: skip
_REFUSED_ELEMENTS = {
    "oleObject": OBJECT, "oleLink": LINKS, "ddeLink": LINKS, "externalReference": LINKS,
    "FmlaMacro": MACROS, "webPr": CONNECTION, "dbPr": CONNECTION,
}  # fmt: skip
_FORMULAS = ("f", "formula", "formula1", "formula2", "definedName", "calculatedColumnFormula")


class Tags(dict):
    """Names of elements without their namespace, each taken apart once."""

    def __missing__(self, name: str) -> str:
        self[name] = local = name.rpartition("}")[2]
        return local


class Look:
    """What is looked at while the XML of a part passes: depth, elements, formulas, things that act.

    `elements` are those that may still come, of the whole workbook; `root` is
    the first element of the part that passed last.
    """

    def __init__(self) -> None:
        self.elements = SPARE_ELEMENTS
        self.root = ""
        self.formulas = Formulas()
        self.tags = Tags()

    def begin(self, parser: expat.XMLParserType, root: str) -> None:
        """Sets the handlers for a part whose first element is `root`, which has begun."""
        self.root = root
        if root in _REFUSED_ROOTS:
            raise active(_REFUSED_ROOTS[root])
        tags, texts = self.tags, []
        depth = 1

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal depth
            depth += 1
            self.elements -= 1
            if depth > DEEPEST or self.elements < 0:
                raise self.beyond(depth)
            tag = tags[name]
            if tag in _FORMULAS:
                texts.clear()
                parser.CharacterDataHandler = texts.append
            self.element(tag, attributes)

        def end(name: str) -> None:
            nonlocal depth
            depth -= 1
            if tags[name] in _FORMULAS:
                parser.CharacterDataHandler = None
                self.formulas.check("".join(texts))

        parser.StartElementHandler = start
        parser.EndElementHandler = end

    def element(self, tag: str, attributes: dict[str, str]) -> None:
        """Raises Refused for an element that acts, wherever it stands."""
        if tag in _REFUSED_ELEMENTS:
            raise active(_REFUSED_ELEMENTS[tag])
        if tag == "definedName":
            check_name(attributes)
        elif attributes.get("macro"):
            raise active(MACROS)
        elif tag == "table" and attributes.get("tableType") == "queryTable":
            raise active(CONNECTION)
        elif tag == "cacheSource" and attributes.get("type") == "external":
            raise active(CONNECTION)

    def beyond(self, depth: int) -> Refused:
        if depth > DEEPEST:
            return too_much(f"over {DEEPEST} elements inside each other", f"at most {DEEPEST}")
        return too_much("more elements than its rows can have", "a workbook that was built here")


def walk(
    stream: IO[bytes], begin: Callable[[expat.XMLParserType, str], None], *, damage: str, loose: bool
) -> int:
    """Parses a part and returns its bytes; `begin` gets the parser and the local name of the first element.

    `damage` are the words for XML that is not sound. In a `loose` part, such as
    the drawings of old, that counts before its first element only.
    """
    names: dict[str, str] = {}
    parser = expat.ParserCreate(namespace_separator="}", intern=names)
    parser.buffer_text = True
    started = False

    def doctype(*_: object) -> None:
        raise Refused("a document type declaration")

    def declared(_: str, encoding: str | None, __: int) -> None:
        if encoding is not None and not _ENCODINGS.fullmatch(encoding):
            raise Refused(f"the encoding {shown(encoding)}")

    def root(name: str, attributes: dict[str, str]) -> None:
        nonlocal started
        started = True
        begin(parser, name.rpartition("}")[2])

    parser.StartDoctypeDeclHandler = doctype
    parser.XmlDeclHandler = declared
    parser.StartElementHandler = root
    parser.StartNamespaceDeclHandler = lambda prefix, _: names.setdefault(f"xmlns:{prefix}", "")
    fed = 0
    try:
        while data := stream.read(_CHUNK):
            fed += len(data)
            parser.Parse(data, False)
            if fed - parser.CurrentByteIndex > LARGEST_TOKEN:
                raise too_much(f"a tag of over {LARGEST_TOKEN:,} bytes", f"at most {LARGEST_TOKEN:,}")
            if len(names) > MOST_NAMES:
                raise too_much(f"over {MOST_NAMES:,} names of elements", f"at most {MOST_NAMES:,}")
        parser.Parse(b"", True)
    except expat.ExpatError as fault:
        if not (loose and started):
            raise Refused(f"{damage} ({fault})", placed=True) from None
        while data := stream.read(_CHUNK):
            fed += len(data)
    return fed
