"""Catalogues of many families: those of another, again and again with other flow coefficients."""

from __future__ import annotations

from dataclasses import replace

from tablegen.model.inputs import Catalogue, Family


def large_catalogue(source: Catalogue, count: int, **changed: object) -> Catalogue:
    """So many families, each unlike all others, in every combination of the family that it is made from."""
    models = list(source.families.values())
    families, combinations = {}, []
    for i in range(count):
        model = models[i % len(models)]
        family = _another(model, f"{model.name}-{i}", 1.0 + 0.001 * (i // len(models)))
        families[family.name] = family
        combinations += [replace(c, family=family.name) for c in source.combinations if c.family == model.name]
    own = {"families": families, "combinations": tuple(combinations), "booklets": (), "charts": (), "handouts": ()}
    return replace(source, **{**own, **changed})


def _another(model: Family, name: str, factor: float) -> Family:
    sizes = tuple(replace(size, kv_rated_m3h=factor * size.kv_rated_m3h) for size in model.sizes)
    return replace(model, name=name, sizes=sizes)
