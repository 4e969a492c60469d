"""A config document with another over it, where some keys exclude each other."""

from __future__ import annotations

from tablegen.config.source import Document

# Of these keys a condition takes one; giving one puts the others away.
_ALTERNATIVES = (
    frozenset({"head_pressure", "condensing_temperature"}),
    frozenset({"inlet_subcooling", "inlet_subcooling_range", "liquid_temperature"}),
    frozenset({"subcooling", "liquid_temperature"}),
    frozenset({"minimum_stable", "minimum_stable_line"}),
)
# What belongs to a key that was put away.
_COMPANIONS = {"condensing_temperature": ("basis",)}


def overlaid(base: Document, override: Document) -> Document:
    """A document with an override over it; of keys that exclude each other the given one stays."""
    data = dict(base.data)
    for section, given in override.data.items():
        if isinstance(given, dict) and isinstance(data.get(section), dict):
            gone = {key for group in _ALTERNATIVES if group & set(given) for key in group - set(given)}
            gone |= {c for key in gone for c in _COMPANIONS.get(key, ()) if c not in given}
            data[section] = {key: value for key, value in data[section].items() if key not in gone}
    return Document(base.file, data, base.places).overlaid(override)


def overridden(document: Document, over: Document) -> Document:
    """An application with another document over it, whatever the refrigerant: over what is special to some as well."""
    special = document.data.get("by_refrigerant")
    if isinstance(special, dict):
        parts = {r: document.part(("by_refrigerant", r)) for r in special if isinstance(special[r], dict)}
        own = {r: overlaid(part, over).data for r, part in parts.items()}
        data = {**document.data, "by_refrigerant": {**special, **own}}
        document = Document(document.file, data, document.places)
    return overlaid(document, over)
