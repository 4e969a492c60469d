"""A catalogue as print names it: families, groups, sizes, tables, and what each table is valid for."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from tablegen.wording import booklet as wording

if TYPE_CHECKING:
    from tablegen.model.inputs import Catalogue, Family, PowerElement
    from tablegen.model.publications import Combination
    from tablegen.physics.system import SystemInputs
    from tablegen.report.formatter import Formatter
    from tablegen.report.rows import HeadState
    from tablegen.sweep.group_cost import GroupCost


class PrintedCatalogue:
    """What a page or an answer asks about the tables of a catalogue; subclasses have the figures.

    Attributes
    ----------
    formatter : Formatter
        Knows the units of what is printed.
    """

    __slots__ = ()
    formatter: Formatter

    @property
    def catalogue(self) -> Catalogue:
        """The inputs, in SI."""
        raise NotImplementedError

    def heads(self, application: str, refrigerant: str, sst_k: float | None = None) -> Mapping[str, HeadState]:
        """A refrigerant at each operating condition, at full flow, of the first suction response solved.

        At the suction temperature [K] of the application's example unless another is given.
        """
        raise NotImplementedError

    def system(self, part: Combination, refrigerant: str | None = None) -> SystemInputs:
        """The system of a part's application for a refrigerant; without one, for the first member of its group."""
        return self.catalogue.applications[part.application].systems[refrigerant or self.members(part.group)[0]]

    def group_cost(self, part: Combination) -> GroupCost:
        """What one table for the group of a part costs the member that loses most."""
        raise NotImplementedError

    def is_thermostatic(self, family: str) -> bool:
        """Whether a bulb opens the valves of a family; a controller opens the others."""
        return self.catalogue.families[family].kind == "thermostatic"

    def family(self, name: str) -> str:
        """What a family is called in print."""
        return self.catalogue.families[name].display_name

    def size(self, family: str, name: str) -> str:
        """What a size is called in print; a display name stays."""
        sizes = self.catalogue.families[family].sizes
        return next((size.display_name for size in sizes if size.name == name), name)

    def members(self, group: str) -> list[str]:
        """A group's refrigerants; a refrigerant by itself is a group of one."""
        groups = self.catalogue.groups
        return list(groups[group].members) if group in groups else [group]

    def title(self, part: Combination) -> str:
        """What a table is called beside the application that it is for."""
        return _title(self.catalogue, part)

    def full_title(self, part: Combination) -> str:
        """What a table is called in headings and contents."""
        return full_title(self.catalogue, part)

    def power_element(self, part: Combination, size: str | None = None) -> PowerElement | None:
        """The power element that the family is fitted with for a part; None where it offers nothing.

        In the port of a `size`, by its name in print, where that matters.
        """
        kind = self.catalogue.applications[part.application].temperature_range
        return self.family_of(part, size).element_for(self.members(part.group)[0], kind)

    def family_of(self, part: Combination, size: str | None = None) -> Family:
        """The family of a part, with the port of a `size`, by its name in print, where that matters."""
        family = self.catalogue.families[part.family]
        of_size = (own for own in family.by_design() if size in [one.display_name for one in own.sizes])
        return next(of_size, family)


def full_title(catalogue: Catalogue, part: Combination) -> str:
    """What a table is called in headings and contents."""
    application = catalogue.applications[part.application]
    return wording.TABLE_IN_APPLICATION(table=_title(catalogue, part), application=application.title)


def _title(catalogue: Catalogue, part: Combination) -> str:
    group = catalogue.groups[part.group].title if part.group in catalogue.groups else part.group
    return wording.TABLE(family=catalogue.families[part.family].display_name, group=group)
