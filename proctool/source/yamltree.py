"""YAML text to a tree of nodes with their places. Nothing is converted, nothing is expanded.

We read a plain part of YAML: maps, lists and scalars, one document to a file. Aliases, anchors, tags, merge
keys, repeated keys and keys that are no words are refused, because each of them makes a file mean something
else than what a reader sees. The stream of events is walked, not a finished tree, so that a limit ends the
work before anything has grown.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import yaml

from proctool.model.document import Mapping, Node, Scalar, Sequence
from proctool.model.finding import Finding, Related, file_fault
from proctool.model.span import Span
from proctool.source.cuts import bare_key, cut_by_comment, mend
from proctool.source.syntax import explain
from proctool.source.text import hidden_sign, read_text, shortened, split_lines

MAX_BYTES = 1_048_576
"""Largest file."""
MAX_DEPTH = 40
"""Deepest nesting of maps and lists."""
MAX_NODES = 50_000
"""Most scalars, maps and lists in one file."""
MAX_TEXT = 10_000
"""Most characters of one text: some of what reads sentences takes four times as long for twice as many."""
MAX_FINDINGS = 20
"""After so many faults the rest of a file is not read: they would mostly follow from the first."""

Loader: type = getattr(yaml, "CLoader", yaml.Loader)
"""libyaml where PyYAML was built with it, else the same in Python; both give the same places."""


class _EnoughError(Exception):
    """The rest of the file is not read."""


@dataclass(slots=True)
class _Open:
    """A map or list whose end has not come yet."""

    event: yaml.CollectionStartEvent
    entries: list[tuple[Scalar, Node]] = field(default_factory=list)
    items: list[Node] = field(default_factory=list)
    key: Scalar | None = None
    seen: dict[str, Scalar] = field(default_factory=dict)

    @property
    def is_map(self) -> bool:
        return isinstance(self.event, yaml.MappingStartEvent)

    @property
    def wants_key(self) -> bool:
        return self.is_map and self.key is None


def parse(file: str, data: bytes) -> tuple[Mapping | None, tuple[Finding, ...]]:
    """The tree of one file, or None, with what is wrong with it. Never raises on any bytes.

    `file` is the path in the library, for places. With findings the tree may be whole, but what it says is in
    doubt: it is not to be used.
    """
    if len(data) > MAX_BYTES:
        message = f"The file is larger than {MAX_BYTES // 1024} KiB; split it."
        return None, (file_fault("file/limit", message, Span(file, 1, 1, 1, 1)),)
    text, findings = read_text(file, data)
    if text is None:
        return None, findings
    return _Builder(file, split_lines(text)).build(text)


class _Builder:
    """Walks the events of one file. The state is: open maps and lists, the root, and what was found."""

    def __init__(self, file: str, lines: list[str]) -> None:
        self.file = file
        self.lines = lines
        self.open: list[_Open] = []
        self.root: Node | None = None
        self.last: yaml.ScalarEvent | None = None
        self.nodes = 0
        self.documents = 0
        self.findings: list[Finding] = []

    def build(self, text: str) -> tuple[Mapping | None, tuple[Finding, ...]]:
        try:
            for event in yaml.parse(text, Loader=Loader):
                self.take(event)
            self.end()
        except _EnoughError:
            pass
        except yaml.YAMLError as error:
            fault = explain(self.file, self.lines, error, self.last)
            if not any(known.rule == fault.rule and _near(known, fault) for known in self.findings):
                self.findings.append(fault)
        root = self.root if isinstance(self.root, Mapping) else None
        return root, tuple(sorted(self.findings, key=lambda finding: finding.sort_key))

    def take(self, event: yaml.Event) -> None:
        if isinstance(event, yaml.DocumentStartEvent):
            self.start_document(event)
        elif isinstance(event, yaml.NodeEvent):
            self.refuse(event)
            self.take_node(event)
        elif isinstance(event, yaml.CollectionEndEvent):
            self.close(event)

    def start_document(self, event: yaml.DocumentStartEvent) -> None:
        self.documents += 1
        if self.documents > 1:
            self.fault("A second document starts here; one file holds one document.", self.span(event))
            raise _EnoughError
        if event.tags:
            self.fault("Tags are not used here; take this line away.", self.span(event))

    def take_node(self, event: yaml.NodeEvent) -> None:
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self.limit(f"The file holds more than {MAX_NODES:,} values; split it.", event)
        if self.open and self.open[-1].wants_key:
            self.take_key(event)
        elif isinstance(event, yaml.CollectionStartEvent):
            if len(self.open) >= MAX_DEPTH:
                self.limit(
                    f"Maps and lists are nested deeper than {MAX_DEPTH} levels. Write them flatter.", event
                )
            self.open.append(_Open(event))
        elif isinstance(event, yaml.ScalarEvent):
            self.last = event
            self.put(self.value(event))
        else:
            self.put(Scalar("", self.span(event)))

    def take_key(self, event: yaml.NodeEvent) -> None:
        current = self.open[-1]
        if not isinstance(event, yaml.ScalarEvent):
            self.fault(
                "A key must be a word; found a map, list or alias where a key is expected.", self.span(event)
            )
            raise _EnoughError
        self.last = event
        key = Scalar(event.value, self.span(event), not event.style)
        first = current.seen.setdefault(key.text, key)
        if key.text == "<<" and key.plain:
            self.fault("`<<` (merging another map) is not used here; write the keys out.", key.span)
        elif not key.text:
            self.fault("There is a value here without a key; expected `key: value`.", key.span)
        elif first is not key:
            related = (Related(first.span, "it stands here first"),)
            self.fault(
                f"The key `{shortened(key.text)}` stands twice in this map.", key.span, related=related
            )
        self.check_signs(event)
        current.key = key

    def value(self, event: yaml.ScalarEvent) -> Scalar:
        scalar = Scalar(event.value, self.span(event), not event.style)
        self.check_signs(event)
        current = self.open[-1] if self.open else None
        key = current.key if current else None
        if scalar.plain and key is not None and current is not None:
            cut = cut_by_comment(key, scalar, self.lines)
            if cut is None and current.event.flow_style:
                cut = bare_key(key, scalar, current.entries, self.lines)
            if cut:
                self.add(cut)
        return scalar

    def put(self, node: Node) -> None:
        if not self.open:
            self.root = node
            return
        current = self.open[-1]
        if current.key is None:
            current.items.append(node)
        else:
            current.entries.append((current.key, node))
            current.key = None

    def close(self, event: yaml.CollectionEndEvent) -> None:
        done = self.open.pop()
        children = [value for _, value in done.entries] if done.is_map else done.items
        span = self.span(done.event, event)
        if children and not done.event.flow_style:
            # The mark of a block's end stands where the next thing starts.
            last = children[-1].span
            span = Span(self.file, span.line, span.column, last.end_line, last.end_column)
        self.put(Mapping(tuple(done.entries), span) if done.is_map else Sequence(tuple(done.items), span))

    def end(self) -> None:
        if self.root is None:
            self.fault(
                "The file is empty; expected a map such as `procedure: name`.", Span(self.file, 1, 1, 1, 1)
            )
        elif not isinstance(self.root, Mapping):
            found = "a list" if isinstance(self.root, Sequence) else "a text"
            if isinstance(self.root, Scalar) and not self.root.text:
                found = "nothing"
            span = Span(
                self.file, self.root.span.line, self.root.span.column, *self.first_end(self.root.span)
            )
            self.fault(f"A file is a map that starts with `key: value`; found {found}.", span)

    def first_end(self, span: Span) -> tuple[int, int]:
        """The end of a span, or of its first line: a whole file is no helpful place."""
        if span.line == span.end_line:
            return span.end_line, span.end_column
        return span.line, len(self.lines[span.line - 1]) + 1

    def refuse(self, event: yaml.NodeEvent) -> None:
        """Says what is used here that we do not read. A text may have been meant: the mend is told."""
        sign = "If a text starts with `%s`" + mend(", ") + ", or put it in quotes."
        if isinstance(event, yaml.AliasEvent):
            help_ = sign % "*"
            self.fault(
                f"`*{shortened(event.anchor or '')}` (an alias) is not used here.", self.span(event), help_
            )
        elif event.anchor is not None:
            help_ = sign % "&"
            self.fault(
                f"`&{shortened(event.anchor or '')}` (an anchor) is not used here.", self.span(event), help_
            )
        elif isinstance(event, yaml.ScalarEvent | yaml.CollectionStartEvent) and event.tag is not None:
            name = event.tag.replace("tag:yaml.org,2002:", "!!")
            self.fault(f"`{shortened(name)}` (a tag) is not used here.", self.span(event), sign % "!")

    def check_signs(self, event: yaml.ScalarEvent) -> None:
        """How long a text is, and what an escape in double quotes can bring in."""
        if len(event.value) > MAX_TEXT:
            self.limit(f"This text has more than {MAX_TEXT:,} characters. Say it in several.", event)
        hidden = hidden_sign(event.value) if event.style == '"' else None
        if hidden:
            self.fault(f"This text holds a sign that no editor shows ({hidden}).", self.span(event))

    def limit(self, message: str, event: yaml.Event) -> None:
        self.findings.append(file_fault("file/limit", message, self.span(event)))
        raise _EnoughError

    def fault(
        self, message: str, span: Span, help_: str | None = None, related: tuple[Related, ...] = ()
    ) -> None:
        self.add(file_fault("file/yaml", message, span, help=help_, related=related))

    def add(self, finding: Finding) -> None:
        self.findings.append(finding)
        if len(self.findings) >= MAX_FINDINGS:
            raise _EnoughError

    def span(self, start: yaml.Event, end: yaml.Event | None = None) -> Span:
        first, last = start.start_mark, (end or start).end_mark
        if first is None or last is None:
            raise RuntimeError("the parser gave an event without a place")
        return Span(self.file, first.line + 1, first.column + 1, last.line + 1, last.column + 1)


def _near(a: Finding, b: Finding) -> bool:
    """Whether two findings tell of one cut: the second begins where the first ends."""
    return a.span is not None and b.span is not None and a.span.end_line == b.span.line
