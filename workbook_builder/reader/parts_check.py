"""What the parts of a workbook are, by name, type and relation, and which of them act when it is opened."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from urllib.parse import unquote
from xml.etree.ElementTree import Element

from .faults import shown
from .refused import CONNECTION, LINKS, MACROS, NEW_COPY, OBJECT, RIBBON, Refused

TYPES, ROOT = "[Content_Types].xml", "_rels/.rels"

_NAMES = {
    "vbaproject": MACROS, "vbadata": MACROS, "macrosheets/": MACROS, "dialogsheets/": MACROS,
    "attachedtoolbars": MACROS,
    "externallinks/": LINKS,
    "connections.xml": CONNECTION, "querytables/": CONNECTION, "model/": CONNECTION,
    "volatiledependencies": CONNECTION, "xmlmaps": CONNECTION,
    "embeddings/": OBJECT, "activex/": OBJECT,
    "customui/": RIBBON, "webextensions/": RIBBON,
}  # fmt: skip
"""Beginnings of the name of a part or of a folder, in small letters."""
_TYPES = {
    "macroenabled": MACROS, "vbaproject": MACROS, "intlmacrosheet": MACROS, "macrosheet+xml": MACROS,
    "dialogsheet": MACROS, "attachedtoolbars": MACROS,
    "externallink": LINKS,
    "connections+xml": CONNECTION, "querytable": CONNECTION, "volatiledependencies": CONNECTION,
    "activex": OBJECT, "oleobject": OBJECT, "officedocument.package": OBJECT,
    "customui": RIBBON, "webextension": RIBBON,
}  # fmt: skip
"""Pieces of the type of a part, in small letters."""
_RELATIONS = {
    "vbaproject": MACROS, "xlmacrosheet": MACROS, "xlintlmacrosheet": MACROS, "dialogsheet": MACROS,
    "attachedtoolbars": MACROS, "wordvbadata": MACROS,
    "externallink": LINKS, "externallinkpath": LINKS, "externallinklong": LINKS, "xlpathmissing": LINKS,
    "connections": CONNECTION, "querytable": CONNECTION, "powerpivotdata": CONNECTION,
    "volatiledependencies": CONNECTION, "xmlmaps": CONNECTION,
    "oleobject": OBJECT, "package": OBJECT, "control": OBJECT, "activexcontrolbinary": OBJECT,
    "extensibility": RIBBON, "webextension": RIBBON, "webextensiontaskpanes": RIBBON,
}  # fmt: skip
"""Last words of the kind of a relation, in small letters."""
_HARMLESS_OUTSIDE = "hyperlink"
_MAY_BE_MISSING = ("calcchain", "image", "printersettings", "thumbnail")
"""Programs leave these relations behind, and a workbook is whole without what they lead to."""
_MAIN = "officedocument"
_BOOK_TYPE = "spreadsheetml.sheet.main+xml"
_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:")
_XML = (".xml", ".rels", ".vml")


@dataclass(frozen=True)
class Types:
    """Type of each part, in small letters: of its own or by the ending of its name."""

    own: dict[str, str]
    by_ending: dict[str, str]

    def of(self, part: str) -> str:
        ending = part.rpartition(".")[2].lower()
        return self.own.get(part.lower()) or self.by_ending.get(ending, "")


@dataclass(frozen=True)
class Relation:
    """A link of a part to another; target is None where it leads to no part."""

    source: str
    kind: str
    id: str
    target: str | None


def types_of(root: Element) -> Types:
    """The types that the part of types gives."""
    own, by_ending = {}, {}
    for element in root:
        kind = element.get("ContentType", "").lower()
        if element.get("PartName"):
            own[element.get("PartName", "").lstrip("/").lower()] = kind
        else:
            by_ending[element.get("Extension", "").lower()] = kind
    return Types(own, by_ending)


def dangers_of(parts: Iterable[str], types: Types) -> Iterator[tuple[str, str]]:
    """What the names and types of the parts give away."""
    for part in parts:
        name = "/" + part.lower()
        yield from (danger for start, danger in _NAMES.items() if f"/{start}" in name)
    for kind in (*types.own.values(), *types.by_ending.values()):
        yield from (danger for piece, danger in _TYPES.items() if piece in kind)


def is_xml(part: str, types: Types) -> bool:
    """Whether a part is to be XML, by its name or its type."""
    return part.lower().endswith(_XML) or types.of(part).endswith(("+xml", "/xml"))


def source_of(part: str) -> str:
    """The part whose relations a part holds: of `xl/_rels/workbook.xml.rels` it is `xl/workbook.xml`."""
    folder, name = posixpath.split(part)
    return posixpath.join(posixpath.dirname(folder), name.removesuffix(".rels"))


def relations_of(
    part: str, root: Element, parts: Collection[str], dangers: list[tuple[str, str]]
) -> list[Relation]:
    """The relations in a part of relations. Raises Refused for one that is broken or leads out.

    What relations give away is added to `dangers`.
    """
    source = source_of(part)
    found: list[Relation] = []
    for element in root:
        kind = element.get("Type", "").rpartition("/")[2].lower()
        identity, target = element.get("Id", ""), element.get("Target", "")
        if kind in _RELATIONS:
            dangers.append(_RELATIONS[kind])
            continue
        if any(one.id == identity for one in found):
            raise Refused(f"two relations {shown(identity)} in {shown(part)}", placed=True)
        place = None
        if element.get("TargetMode", "").lower() == "external":
            if kind != _HARMLESS_OUTSIDE:
                dangers.append((f"a link to another file, of the kind {shown(kind)}", "delete it"))
        elif not (kind == _HARMLESS_OUTSIDE and target.startswith("#")):
            place = _place(source, target)
            if place is None:
                raise Refused(
                    f"a relation that leads out of the file, to {shown(target)}", todo=NEW_COPY, placed=True
                )
            if place not in parts:
                if kind not in _MAY_BE_MISSING:
                    raise Refused(f"no part {shown(place)}, to which {shown(part)} leads", placed=True)
                place = None
        found.append(Relation(source, kind, identity, place))
    return found


def _place(source: str, target: str) -> str | None:
    """The part that a target means, None where it means none in the file."""
    path = unquote(target.partition("#")[0])
    if not path or "\\" in path or path.startswith("//") or _SCHEME.match(path):
        return None
    steps: list[str] = []
    for step in posixpath.join("/", posixpath.dirname(source), path).split("/"):
        if step == ".." and not steps:
            return None
        if step == "..":
            steps.pop()
        elif step not in ("", "."):
            steps.append(step)
    return "/".join(steps) or None


def main_part(relations: Iterable[Relation], types: Types) -> str:
    """The part of the workbook itself."""
    mains = [one.target for one in relations if one.source == "" and one.kind == _MAIN]
    if len(mains) != 1 or mains[0] is None:
        raise Refused("no workbook in it")
    kind = types.of(mains[0])
    if kind and not kind.endswith(_BOOK_TYPE):
        raise Refused(f"no workbook in it but {shown(kind.rpartition('/')[2])}")
    return mains[0]


def shared_part(relations: Iterable[Relation], main: str, kind: str) -> str | None:
    """The one part of a kind that the workbook leads to."""
    found = [one.target for one in relations if one.source == main and one.kind == kind.lower()]
    if len(found) > 1:
        raise Refused(f"{len(found)} parts of the kind {shown(kind)}")
    return found[0] if found else None


def titles_of(root: Element, relations: Iterable[Relation], main: str) -> dict[str, str]:
    """Titles of the sheets by their parts. Raises Refused where a title or a part stands twice."""
    by_id = {one.id: one.target for one in relations if one.source == main and one.target}
    titles: dict[str, str] = {}
    folded = set()
    for element in root.iter():
        if element.tag.rpartition("}")[2] != "sheet":
            continue
        title = element.get("name", "")
        part = by_id.get(next((text for key, text in element.items() if key.endswith("}id")), ""))
        if part is None:
            raise Refused(f"no part of the sheet {shown(title)}")
        if part in titles or title.casefold() in folded:
            raise Refused(f"the sheet {shown(title)} twice")
        titles[part] = title
        folded.add(title.casefold())
    return titles

