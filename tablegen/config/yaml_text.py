"""YAML 1.2 text to plain data with the line of every key and list item, and back: the only import of ruamel."""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.composer import Composer
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import AliasEvent
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from tablegen.config.parsed import KeyPath, Parsed
from tablegen.config.source import NotUsable

# Twice what the deepest config holds, far above what the largest does, and read in about a second.
_MOST_LEVELS, _MOST_PARTS = 20, 10_000
_LONGEST_NUMBER = 100
# Plain scalars that are no text; all others, dates too, are left as they are written.
_TYPED = {f"tag:yaml.org,2002:{name}" for name in ("bool", "int", "float", "null")}


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
            raise NotUsable(line, "anchors (&), aliases (*) and tags (!) are not used here")
        self.count += 1
        if self.count > _MOST_PARTS:
            raise NotUsable(line, f"more than {_MOST_PARTS} keys and values; no config file needs that")
        if self.depth >= _MOST_LEVELS:
            raise NotUsable(line, f"lists and mappings are nested more than {_MOST_LEVELS} deep")
        self.depth += 1
        try:
            return super().compose_node(parent, index)
        finally:
            self.depth -= 1


def parse(text: str) -> Parsed:
    """Parse YAML text whose top level is a mapping.

    Raises
    ------
    NotUsable
        If it is no YAML, repeats a key, or uses anchors, aliases or tags.
    """
    reader = YAML(typ="safe", pure=True)
    reader.Composer = _Composer
    try:
        node = reader.compose(text)
        if not isinstance(node, MappingNode):
            raise NotUsable(1, "the file must hold keys and values, such as 'title: ...'")
        lines: dict[KeyPath, int] = {}
        return Parsed(_plain(reader.constructor, node, (), lines), lines)
    except NotUsable:
        raise
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        problem = (error.problem or "it is not valid YAML").splitlines()[0]
        if problem.startswith("but ") and error.context:
            problem = f"{error.context.splitlines()[0]}, {problem}"
        raise NotUsable(mark.line + 1 if mark else 0, f"{problem}; the file must be YAML 1.2") from error
    except (YAMLError, ValueError, RecursionError) as error:
        raise NotUsable(0, f"the file is not YAML 1.2: {str(error).splitlines()[0]}") from error


def as_yaml(data: Mapping[str, Any]) -> str:
    """Plain data as YAML 1.2: mappings and lists that hold no others stand on one line."""
    writer = YAML(typ="safe", pure=True)
    writer.default_flow_style = None
    writer.width = 110
    writer.sort_base_mapping_type_on_output = False  # type: ignore[assignment]
    writer.representer.ignore_aliases = lambda *_: True
    target = io.StringIO()
    writer.dump(dict(data), target)
    return target.getvalue()


def _scalar(constructor: Any, node: ScalarNode) -> Any:
    """A number, a truth value or nothing; a number so long that turning it about takes time is none that we need."""
    line = node.start_mark.line + 1
    if len(node.value) > _LONGEST_NUMBER:
        raise NotUsable(line, f"a number of {len(node.value)} signs; no config file needs that")
    try:
        return constructor.construct_object(node)
    except ValueError:
        raise NotUsable(line, f"{node.value!r} is not allowed; it is no number, so write it in quotes") from None


def _plain(constructor: Any, node: Node, path: KeyPath, lines: dict[KeyPath, int]) -> Any:
    """Plain Python values of a tree; lines are noted on the way."""
    if isinstance(node, ScalarNode):
        return _scalar(constructor, node) if str(node.ctag) in _TYPED else node.value
    if isinstance(node, SequenceNode):
        for index, item in enumerate(node.value):
            lines[(*path, index)] = item.start_mark.line + 1
        return [_plain(constructor, item, (*path, index), lines) for index, item in enumerate(node.value)]
    mapping: dict[str, Any] = {}
    for key, value in node.value:
        line = key.start_mark.line + 1
        if not isinstance(key, ScalarNode):
            raise NotUsable(line, "a key must be a name, not a list or a mapping")
        name = str(_plain(constructor, key, path, lines))
        if name in mapping:
            raise NotUsable(line, f"found duplicate key {name!r}; each key stands once")
        lines[(*path, name)] = line
        mapping[name] = _plain(constructor, value, (*path, name), lines)
    return mapping
