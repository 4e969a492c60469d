"""Changes of config files one at a time: the catalogue with each alone, and the inputs and tables that it bears on."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from tablegen.config.config_changes import ConfigStates
from tablegen.config.loader import load_catalogue
from tablegen.config.selection import Selection
from tablegen.dataset.causes import ConfigChange
from tablegen.dataset.input_changes import InputChange, InputEffects, WindowKey, changed_inputs
from tablegen.dataset.manifest import inputs_of
from tablegen.dataset.release import Manifest, TableKey
from tablegen.errors import ConfigError
from tablegen.model.inputs import Catalogue
from tablegen.model.publications import Combination

_WITHOUT_STOCK = Selection(without_stock=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class SingleChange:
    """A change alone, or several without which one of them gives no sound catalogue.

    `catalogue` is the earlier one with it, None if not even all of those give a sound one; `inputs` differ then, and
    `tables` of either are computed from them.
    """

    changes: tuple[ConfigChange, ...]
    catalogue: Catalogue | None
    inputs: tuple[InputChange, ...]
    tables: tuple[Combination, ...]


def single_changes(old: Path, new: Path, manifest: Manifest) -> tuple[Catalogue, list[SingleChange]]:
    """The earlier catalogue, and each change that may bear on a limit alone.

    Parameters
    ----------
    old, new : Path
        Catalogue files.
    manifest : Manifest
        Of a release of the earlier one.

    Raises
    ------
    ConfigError
        If the earlier catalogue cannot be used.
    """
    with tempfile.TemporaryDirectory(prefix="tablegen-") as folder:
        tried = _Tried(ConfigStates(old, new), Path(folder))
        base = tried.load(())
        loaded = [tried.loaded_or_none([number]) for number in range(len(tried.changes))]
        failed = tuple(number for number, own in enumerate(loaded) if own is None)
        sound: dict[tuple[int, ...], Catalogue | None] = {(n,): own for n, own in enumerate(loaded) if own is not None}
        if failed:
            # Together, or with one of the others, such as a group with the list that names it.
            sets = [failed, *(tuple(sorted({*failed, *numbers})) for numbers in sound)]
            tries = ((numbers, tried.loaded_or_none(numbers)) for numbers in sets)
            numbers, together = next(((n, own) for n, own in tries if own is not None), (failed, None))
            sound = {own: catalogue for own, catalogue in sound.items() if not set(own) <= set(numbers)}
            sound[numbers] = together
        changes = tried.changes
    found = [_single([changes[i] for i in numbers], base, own, manifest) for numbers, own in sorted(sound.items())]
    return base, [own for own in found if own.tables or own.catalogue is None]


class _Tried:
    """Catalogues with some changes, by their numbers."""

    def __init__(self, states: ConfigStates, folder: Path) -> None:
        self.changes = states.changes
        self._states, self._folder, self._count = states, folder, 0

    def load(self, numbers: Iterable[int]) -> Catalogue:
        """The earlier catalogue with some changes; ConfigError if it cannot be used."""
        self._count += 1
        changes = [self.changes[i] for i in numbers]
        # A release does not have its stock sheet.
        return load_catalogue(self._states.write(self._folder / str(self._count), changes), _WITHOUT_STOCK)

    def loaded_or_none(self, numbers: Iterable[int]) -> Catalogue | None:
        """The same; None if it cannot be used."""
        try:
            return self.load(numbers)
        except ConfigError:
            return None


def _single(
    changes: Sequence[ConfigChange], base: Catalogue, changed: Catalogue | None, manifest: Manifest
) -> SingleChange:
    if changed is None:
        return SingleChange(changes=tuple(changes), catalogue=None, inputs=(), tables=())
    was, now = (dataclasses.replace(manifest, inputs=inputs_of(own), versions={}) for own in (base, changed))
    inputs = changed_inputs(was, now)
    effects = InputEffects(was, now, inputs)
    tables = tuple(
        c
        for c in dict.fromkeys([*changed.combinations, *base.combinations])
        if any(effects.on(key) for key in _windows(c, base, changed))
    )
    return SingleChange(changes=tuple(changes), catalogue=changed, inputs=tuple(inputs), tables=tables)


def _windows(c: Combination, *catalogues: Catalogue) -> list[WindowKey]:
    """The windows of a table as far as inputs can distinguish them: by size."""
    families = [own.families[c.family] for own in catalogues if c.family in own.families]
    sizes = dict.fromkeys(size.name for family in families for size in family.sizes)
    return [
        WindowKey(family=c.family, group=c.group, application=c.application, size=size, is_in_one_release=True)
        for size in sizes
    ]


def key_of(c: Combination) -> TableKey:
    """A combination as the key of its table."""
    return c.family, c.group, c.application
