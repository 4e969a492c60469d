"""YAML 1.2 text to simple data with the line of every key and list item, and back: the only import of ruamel."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.composer import Composer
from ruamel.yaml.constructor import SafeConstructor
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import AliasEvent
from ruamel.yaml.nodes import CollectionNode, MappingNode, Node, ScalarNode
from ruamel.yaml.reader import ReaderError

from tablegen.config.document import KeyPath, NotUsable, Parsed, Yaml
from tablegen.errors import BadValue, cut
from tablegen.wording import input_errors as wording

# Twice as deep as the deepest config, far above the largest, and read in about a second.
_MAX_LEVELS, _MAX_PARTS = 20, 10_000
_LONGEST_NUMBER = 100
# Scalars that are no text; all others, dates too, stay as they are written, and so does a number with underscores, which
# is text in YAML 1.2.
_TYPED = {f"tag:yaml.org,2002:{name}" for name in ("bool", "int", "float", "null")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """Where a key or list item is in a text: offset and column of its start, offset of its end, how it is written."""

    at: int
    column: int
    end: int
    is_flow: bool


class _Composer(Composer):
    """Refuses aliases, which could multiply a small file into a huge tree, and tags; configs have no need of them.

    A tree that is deeper or has more parts than any config is refused as soon as that shows.
    """

    depth = 0
    count = 0

    def compose_node(self, parent: Any, index: Any) -> Any:
        event = self.parser.peek_event()
        line = event.start_mark.line + 1
        if isinstance(event, AliasEvent) or event.anchor is not None or event.ctag is not None:
            raise NotUsable(line, wording.NO_ANCHORS())
        self.count += 1
        if self.count > _MAX_PARTS:
            raise NotUsable(line, wording.TOO_MANY_PARTS(count=_MAX_PARTS))
        if self.depth >= _MAX_LEVELS:
            raise NotUsable(line, wording.NESTED_TOO_DEEP(count=_MAX_LEVELS))
        self.depth += 1
        try:
            return super().compose_node(parent, index)
        finally:
            self.depth -= 1


def parse(text: str) -> Parsed:
    """Parse YAML text whose top level is a mapping.

    Raises NotUsable if it is no YAML, repeats a key, or uses anchors, aliases or tags.
    """
    reader = _reader()
    try:
        node = reader.compose(text)
        if not isinstance(node, MappingNode):
            raise NotUsable(1, wording.NO_KEYS())
        lines: dict[KeyPath, int] = {}
        return Parsed(_mapping(reader.constructor, node, (), lines), lines)
    except NotUsable:
        raise
    except ReaderError as error:
        before = text[: error.position]
        column = error.position - (before.rfind("\n") + 1) + 1
        problem = wording.CONTROL_CHARACTER(character=ascii(text[error.position])[1:-1], column=column)
        raise NotUsable(before.count("\n") + 1, problem) from error
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        problem = (error.problem or wording.INVALID_YAML()).splitlines()[0]
        if problem.startswith("but ") and error.context:
            problem = f"{error.context.splitlines()[0]}, {problem}"
        raise NotUsable(mark.line + 1 if mark else 0, wording.MUST_BE_YAML(problem=problem)) from error
    except (YAMLError, ValueError, RecursionError) as error:
        raise NotUsable(0, wording.NOT_YAML(reason=str(error).splitlines()[0])) from error


def _reader() -> YAML:
    reader = YAML(typ="safe", pure=True)
    reader.Composer = _Composer
    return reader


def spans(text: str) -> dict[KeyPath, Span]:
    """Where every key and list item of a sound text is."""
    found: dict[KeyPath, Span] = {}

    def walk(node: Node, path: KeyPath) -> int:
        """Note what is in a node; where its last value ends, for what YAML calls its end is behind comments."""
        if not isinstance(node, CollectionNode) or not node.value:
            end = int(node.end_mark.index)
            # What is empty, or goes over lines, is said to end where the next thing begins.
            is_open = isinstance(node, ScalarNode) and (not node.value or node.style in ("|", ">"))
            return len(text[:end].rstrip()) if is_open else end
        end = 0
        for index, item in enumerate(node.value):
            key, value = item if isinstance(node, MappingNode) else (item, item)
            own = (*path, str(key.value) if isinstance(node, MappingNode) else index)
            end = walk(value, own)
            is_flow = bool(node.flow_style)
            start = key.start_mark
            found[own] = Span(at=start.index, column=start.column, end=end, is_flow=is_flow)
        return int(node.end_mark.index) if node.flow_style else end

    walk(_reader().compose(text), ())
    return found


def as_yaml(data: Mapping[str, Yaml], is_flow: bool | None = None) -> str:
    """Data as YAML 1.2: mappings and lists that contain no others are written on one line; or all, or nothing is."""
    writer = YAML(typ="safe", pure=True)
    writer.default_flow_style = is_flow
    writer.width = 100_000 if is_flow else 110
    writer.sort_base_mapping_type_on_output = False  # type: ignore[assignment]
    writer.representer.ignore_aliases = lambda *_: True
    target = io.StringIO()
    writer.dump(dict(data), target)
    return target.getvalue()


def _scalar(constructor: SafeConstructor, node: ScalarNode) -> Yaml:
    """A number, a truth value or nothing; a number so long that reading it takes time is none that we need."""
    line = node.start_mark.line + 1
    if len(node.value) > _LONGEST_NUMBER:
        raise NotUsable(line, wording.NUMBER_TOO_LONG(count=len(node.value)))
    try:
        value: Yaml = constructor.construct_object(node)
    except ValueError:
        raise NotUsable(line, str(BadValue(repr(node.value), wording.NO_NUMBER()))) from None
    return value


def _read(constructor: SafeConstructor, node: Node, path: KeyPath, lines: dict[KeyPath, int]) -> Yaml:
    """The values of a tree; lines are noted on the way."""
    if isinstance(node, MappingNode):
        return _mapping(constructor, node, path, lines)
    if isinstance(node, ScalarNode):
        is_text = str(node.ctag) not in _TYPED or "_" in node.value
        return str(node.value) if is_text else _scalar(constructor, node)
    for index, item in enumerate(node.value):
        lines[(*path, index)] = item.start_mark.line + 1
    return [_read(constructor, item, (*path, index), lines) for index, item in enumerate(node.value)]


def _mapping(
    constructor: SafeConstructor, node: MappingNode, path: KeyPath, lines: dict[KeyPath, int]
) -> dict[str, Yaml]:
    mapping: dict[str, Yaml] = {}
    for key, value in node.value:
        line = key.start_mark.line + 1
        if not isinstance(key, ScalarNode):
            raise NotUsable(line, wording.KEY_IS_NO_NAME())
        name = str(_read(constructor, key, path, lines))
        if name in mapping:
            text = wording.DUPLICATE_KEY(name=cut(repr(name)), line=lines[(*path, name)])
            raise NotUsable(line, text)
        lines[(*path, name)] = line
        mapping[name] = _read(constructor, value, (*path, name), lines)
    return mapping
