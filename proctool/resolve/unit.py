"""From a unit's merged map to a `Unit`: words read, names looked up, all that the proof needs present."""

from __future__ import annotations

from collections.abc import Iterable

from proctool.model.document import Document, Mapping, Node, Scalar, Sequence
from proctool.model.finding import Finding, file_fault
from proctool.model.nearest import did_you_mean
from proctool.model.span import Span
from proctool.model.unit import Checked, Danger, Energy, Line, Part, Unit
from proctool.model.words import (
    POSITION_WORDS,
    Control,
    Depth,
    Device,
    Form,
    Lock,
    Position,
    Role,
    position_word,
)
from proctool.resolve.amounts import unit_amounts


def build_unit(document: Document, whole: Mapping) -> tuple[Unit | None, tuple[Finding, ...]]:
    """The unit, or None with findings that say what it lacks."""
    reader = _Reader(document, whole)
    unit = reader.unit()
    reader.findings += unit_amounts(whole)
    return (None if reader.findings else unit), tuple(reader.findings)


def danger(node: Node | None) -> Danger | None:
    """A safety message, or None where there is none."""
    if not isinstance(node, Mapping):
        return None
    word, hazard, harm, avoid = (_text(node, key) or "" for key in ("word", "hazard", "harm", "avoid"))
    way_out = node.get("avoid")
    return Danger(word, hazard, harm, avoid, node.span, way_out.span if way_out is not None else None)


class _Reader:
    def __init__(self, document: Document, whole: Mapping) -> None:
        self.document, self.whole = document, whole
        self.findings: list[Finding] = []
        self.energy_names = {key.text for key, _ in self._group("energies")}
        self.part_names = {key.text for key, _ in self._group("parts")}

    def unit(self) -> Unit:
        span = self.document.name.span
        for group in ("energies", "parts", "lines"):
            if not self._group(group):
                self._fault("file/schema", f"Unit `{self.document.name.text}` has no `{group}`.", span)
        control = _text(self.whole, "lockout")
        self._empty_values()
        energies = {key.text: self._energy(key, value) for key, value in self._group("energies")}
        parts = {key.text: self._part(key, value) for key, value in self._group("parts")}
        self._tags(parts)
        return Unit(
            id=self.document.name.text,
            title=_text(self.document.root, "title") or self.document.name.text,
            file=self.document.file,
            span=span,
            energies=energies,
            parts=parts,
            lines={key.text: self._line(key, value) for key, value in self._group("lines")},
            facts={key.text: v.text for key, v in self._group("facts") if isinstance(v, Scalar)},
            family=_text(self.whole, "family"),
            control=Control(control) if control else Control.REQUIRED,
            checked=_checked(self.document.root.get("checked")),
        )

    def _fault(self, rule: str, message: str, span: Span) -> None:
        self.findings.append(file_fault(rule, message, span))

    def _group(self, key: str) -> tuple[tuple[Scalar, Node], ...]:
        value = self.whole.get(key)
        return value.entries if isinstance(value, Mapping) else ()

    def _empty_values(self) -> None:
        for group in ("energies", "parts", "lines", "facts"):
            for key, value in self._group(group):
                inner = value.entries if isinstance(value, Mapping) else ((key, value),)
                for name, text in inner:
                    if isinstance(text, Scalar) and text.plain and not text.text.strip():
                        self._fault(
                            "file/schema",
                            f"`{name.text}` of `{key.text}` has no value. Write one, or take the line away.",
                            name.span,
                        )

    def _known(self, names: Iterable[Scalar], known: Iterable[str], what: str, where: str) -> tuple[str, ...]:
        known = tuple(known)
        found = []
        for name in names:
            if name.text in known:
                found.append(name.text)
            else:
                hint = did_you_mean(name.text, known)
                self._fault(
                    "graph/unknown-name",
                    f"{where} names `{name.text}`, which is no {what} of this unit.{hint}",
                    name.span,
                )
        return tuple(found)

    def _energy(self, key: Scalar, node: Node) -> Energy:
        value = node if isinstance(node, Mapping) else Mapping((), key.span)
        form = _text(value, "form")
        if form is None:
            self._fault("file/schema", f"Energy `{key.text}` has no `form`.", key.span)
        return Energy(
            id=key.text,
            form=Form(form) if form else Form.LIQUID_PRESSURE,
            span=key.span,
            name=_text(value, "name") or key.text.replace("_", " "),
            normal=_text(value, "normal") or "",
            safe=_text(value, "safe") or "",
            depth=Depth(_text(value, "isolation") or "single"),
            brought=_true(value, "brought"),
            medium=_text(value, "medium") or "",
            warning=danger(value.get("warning")),
        )

    def _part(self, key: Scalar, node: Node) -> Part:
        value = node if isinstance(node, Mapping) else Mapping((), key.span)
        name = f"`{key.text}`"
        role_text = _text(value, "role")
        if role_text is None:
            self._fault("file/schema", f"Part {name} has no `role`, such as component or isolator.", key.span)
        role = Role(role_text) if role_text else Role.COMPONENT
        device = Device(text) if role is Role.ISOLATOR and (text := _text(value, "device")) else None
        runs = self._one(value, "runs", self.energy_names, "energy", name)
        at = _text(value, "at")
        if role is Role.GAUGE:
            self._gauge(key, value, at)
        waits = value.get("leaves_in")
        if isinstance(waits, Mapping):
            self._known((k for k, _ in waits), self.energy_names, "energy", f"`leaves_in` of {name}")
        return Part(
            id=key.text,
            role=role,
            span=key.span,
            name=_text(value, "name") or key.text.replace("_", " "),
            properties=value,
            tag=_text(value, "tag"),
            device=device,
            lock=Lock(_text(value, "lock") or "hasp"),
            throttles=_true(value, "throttles"),
            exclusive_control=_true(value, "exclusive_control"),
            site=_text(value, "operated_by") == "site",
            normal=self._position(value, role, device),
            normally_open=role is Role.VENT and _text(value, "normal") == "open",
            runs=runs,
            normally_running=runs is not None and self._running(value),
            at=at if role is Role.GAUGE else None,
            energy=_text(value, "energy") if role is Role.GAUGE else None,
            usual=_text(value, "usual"),
            feeds_back=(_text(value, "feeds_back") or "true").lower() != "false",
            near=self._known(_items(value.get("near")), self.part_names, "part", f"`near` of {name}"),
            traps_air=_true(value, "traps_air"),
            seal=_text(value, "seal"),
            tighten=_text(value, "tighten"),
            covered=_true(value, "cover"),
            keeps=self._energies(value, "keeps", name),
            rebuilds=self._energies(value, "rebuilds", name),
            piped=_true(value, "piped"),
            end=_true(value, "end"),
        )

    def _energies(self, value: Mapping, key: str, name: str) -> frozenset[str]:
        return frozenset(
            self._known(_items(value.get(key)), self.energy_names, "energy", f"`{key}` of {name}")
        )

    def _one(self, value: Mapping, key: str, known: Iterable[str], what: str, name: str) -> str | None:
        text = value.get(key)
        found = self._known([text] if isinstance(text, Scalar) else [], known, what, f"`{key}` of {name}")
        return found[0] if found else None

    def _gauge(self, key: Scalar, value: Mapping, at: str | None) -> None:
        self._one(value, "energy", self.energy_names, "energy", f"gauge `{key.text}`")
        if at != "any":
            self._one(value, "at", self.part_names, "part", f"gauge `{key.text}`")
        for needed in ("at", "energy"):
            if needed not in value:
                self._fault("file/schema", f"Gauge `{key.text}` has no `{needed}`.", key.span)

    def _position(self, value: Mapping, role: Role, device: Device | None) -> Position:
        word = value.get("normal")
        if role is not Role.ISOLATOR or not isinstance(word, Scalar):
            return Position.ON
        position = position_word(device, word.text)
        if position is None:
            words = ", ".join(POSITION_WORDS[device] if device else ("open", "closed", "on", "off"))
            self._fault(
                "file/schema",
                f"`{word.text}` is no position of this device; expected one of {words}.",
                word.span,
            )
        return position or Position.ON

    def _running(self, value: Mapping) -> bool:
        word = value.get("normal")
        if not isinstance(word, Scalar):
            return True
        if word.text not in {"running", "stopped"}:
            self._fault("file/schema", f"Found `{word.text}`; expected running or stopped.", word.span)
        return word.text != "stopped"

    def _line(self, key: Scalar, node: Node) -> Line:
        value = node if isinstance(node, Mapping) else Mapping((), key.span)
        where = f"Line `{key.text}`"
        energies = self._known(_items(value.get("energy")), self.energy_names, "energy", where)
        path = self._known(_items(value.get("path")), self.part_names, "part", where)
        for needed in ("energy", "path"):
            if needed not in value:
                self._fault("file/schema", f"{where} has no `{needed}`.", key.span)
        return Line(key.text, energies, path, key.span)

    def _tags(self, parts: dict[str, Part]) -> None:
        """A tag names one part, and is no other part's id."""
        tags: dict[str, Part] = {}
        for part in parts.values():
            if part.tag is None:
                continue
            node = part.properties.get("tag")
            span = node.span if node is not None else part.span
            if part.tag in tags:
                first = tags[part.tag].id
                self._fault(
                    "graph/duplicate-id", f"Tag {part.tag} stands on `{first}` and on `{part.id}`.", span
                )
            elif part.tag in parts and part.tag != part.id:
                self._fault("graph/hidden-name", f"Tag {part.tag} of `{part.id}` is a part's name.", span)
            tags[part.tag] = part


def _checked(node: Node | None) -> Checked | None:
    if not isinstance(node, Mapping):
        return None
    return Checked(*(_text(node, key) or "" for key in ("by", "date", "drawing", "serials")))


def _items(node: Node | None) -> tuple[Scalar, ...]:
    items = node.items if isinstance(node, Sequence) else (node,)
    return tuple(item for item in items if isinstance(item, Scalar))


def _text(node: Mapping, key: str) -> str | None:
    value = node.get(key)
    return value.text if isinstance(value, Scalar) and value.text.strip() else None


def _true(node: Mapping, key: str) -> bool:
    return (_text(node, key) or "").lower() == "true"
