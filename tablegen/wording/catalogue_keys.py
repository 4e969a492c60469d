"""What each key of a catalogue, its groups, company, publications, languages and refrigerants means: one sentence each.

Editors show them through JSON Schema. A key is that of a model, or of every model that has none of its own.
"""

from __future__ import annotations

from collections.abc import Mapping

from tablegen.wording.message import Message

KEYS: Mapping[str, Message] = {
    # Of every file.
    "source": Message("Where the figures come from."),
    "why": Message("Why, as the booklet prints it."),
    "region": Message("Whose law the cautions cite."),
    "language": Message("Language of what is printed, by its code."),
    "load_unit": Message("Unit of loads instead of that of the unit system."),
    "units": Message("Unit system of what is printed."),
    # Catalogue.
    "CatalogueModel.catalogue": Message("Key of the catalogue: a build writes to a folder of this name."),
    "CatalogueModel.format": Message(
        "Format of the config files; `tablegen upgrade` updates older files to the current format."
    ),
    "CatalogueModel.title": Message("Title on every cover."),
    "CatalogueModel.company": Message(
        "The company's name, or the name of its file beside this one, such as company.yaml."
    ),
    "CatalogueModel.notice": Message("A sentence that is printed on every page, such as a draft notice."),
    "CatalogueModel.revision": Message("Letter or number of the revision; it must be in the list of revisions."),
    "CatalogueModel.date": Message("Date of the revision."),
    "CatalogueModel.units": Message("Unit system of the workbook; every publication states its own."),
    "CatalogueModel.load_unit": Message("Unit of loads in the workbook instead of that of the unit system."),
    "CatalogueModel.language": Message("Language of what is printed; a publication may have another."),
    "CatalogueModel.families": Message("Valve families, by the names of their files in families/."),
    "CatalogueModel.groups": Message("Refrigerant groups, by their keys in groups.yaml."),
    "CatalogueModel.applications": Message("Applications, by the names of their files in applications/."),
    "CatalogueModel.publications": Message("What is printed, by the names of the files in publications/."),
    "CatalogueModel.part_numbers": Message("A list of part numbers beside this file, as CSV or XLSX."),
    "CatalogueModel.stock_date": Message("When the stock sheet was exported or counted; shown beside quantities."),
    "CatalogueModel.stock": Message(
        "A stock sheet beside this file, as CSV or XLSX: which valves, how many, where, at what price."
    ),
    "CatalogueModel.nearby_parts": Message(
        "Distributor nozzles and solenoid valves that a pick adds, by the names of their files in parts/."
    ),
    "CatalogueModel.confidence": Message("Limits at confidence, from scatter and from the uncertainty of properties."),
    "CatalogueModel.leave_out": Message("Combinations that are not computed."),
    "CatalogueModel.revisions": Message("Every revision with its date and what changed."),
    "RevisionModel.revision": Message("Letter or number of the revision."),
    "RevisionModel.date": Message("Date of the revision."),
    "RevisionModel.change": Message("What changed, in one sentence."),
    "RevisionModel.reasons": Message("Why the inputs that changed printed limits were changed."),
    "ReasonModel.file": Message("A config file as seen from this one, such as families/alder.yaml."),
    "ReasonModel.key": Message(
        "A key of the file, its steps joined by points and items of a list by their names, such as sizes.45.kv, or its first "
        "steps; without it the whole file."
    ),
    "ConfidenceModel.share": Message("Share of the installed valves that cover the load at each limit."),
    "ConfidenceModel.level": Message("Confidence in the data that all valves share, such as properties."),
    "ConfidenceModel.samples": Message("Number of the quasi-random draws, a power of two."),
    "ConfidenceModel.seed": Message("Seed of the quasi-random draws: the same one gives the same figures."),
    "ConfidenceModel.tables": Message("Which limits tables and answers use."),
    "LeaveOutModel.family": Message("Families that the rule applies to, one or a list; without it every one."),
    "LeaveOutModel.group": Message("Groups that the rule applies to, one or a list; without it every one."),
    "LeaveOutModel.application": Message("Applications that the rule applies to, one or a list; without it every one."),
    # Groups.
    "GroupsModel.groups": Message("Refrigerant groups by their keys."),
    "GroupModel.title": Message("Title of the group in print."),
    "GroupModel.members": Message("Refrigerants that share one table, which prints the load window common to all."),
    # Company.
    "CompanyModel.name": Message("Name of the company on every publication."),
    "CompanyModel.tagline": Message("A line below the name."),
    "CompanyModel.address": Message("Address, line by line."),
    "CompanyModel.contact": Message("Ways to reach the company."),
    "WholesalerModel.logo": Message(
        "As the company's; beside the wholesaler's name on charts, answers and the page for a phone."
    ),
    "CompanyModel.logo": Message("A PNG, or an SVG of filled shapes, at most three times as wide as high."),
    "CompanyModel.accent": Message(
        'A color such as "#1F4E79", dark enough for white paper: a contrast of at least 4.5:1.'
    ),
    "CompanyModel.typeface": Message("TrueType files that may be embedded."),
    "CompanyModel.documents": Message("Number of each publication, by its name."),
    "CompanyModel.next_review": Message("Day of the next review, after the date of the catalogue."),
    "CompanyModel.disclaimer": Message("A disclaimer that is printed with the cautions."),
    "CompanyModel.cautions": Message("Texts that are added to the cautions."),
    "CompanyModel.wholesaler": Message(
        "Name and telephone number of the wholesaler, on counter charts and labels that state no other and on the phone page."
    ),
    "WholesalerModel.name": Message("Name of the wholesaler."),
    "ContactModel.label": Message("What it is, such as Telephone."),
    "ContactModel.value": Message("The number or address."),
    "TypefaceModel.regular": Message("File of the regular face."),
    "TypefaceModel.bold": Message("File of the bold face."),
    "TypefaceModel.italic": Message("File of the italic face."),
    # Publications.
    "publication": Message("Key of the publication, which is the name of this file without .yaml."),
    "prints": Message("Paper and units of each print: the first goes to a file of the publication's own name."),
    "PrintModel.paper": Message("Size of the paper."),
    "PrintModel.graph_files": Message("Whether the graphs are written as SVG files too."),
    "PrintModel.png_files": Message("Whether the graphs are written as PNG files too, wide enough for a slide."),
    "BookletModel.one_for_each": Message("A booklet for each of these, and an index that leads to them."),
    "BookletModel.leave_out": Message("What is computed but not printed here."),
    "BookletModel.title": Message("Title of the booklet instead of that of the catalogue."),
    "BookletModel.families": Message("Families whose tables are printed; without it all."),
    "BookletModel.groups": Message("Groups whose tables are printed; without it all."),
    "BookletModel.applications": Message("Applications whose tables are printed; without it all."),
    "BookletModel.sections": Message(
        "Sections in their order, between the contents and the cautions; without it all but those in separate."
    ),
    "BookletModel.separate": Message("Sections that are printed as a document of their own beside the booklet."),
    "BookletModel.sst_rows": Message(
        "SSTs to print of an application, as a list or from a minimum to a maximum; they must be rows that are computed."
    ),
    "BookletModel.tables": Message("How the tables are set."),
    "BookletModel.empty_tables": Message("What is printed of tables in which no size covers a load."),
    "BookletModel.kind": Message("A manufacturer's booklet of window tables."),
    "CounterChartModel.kind": Message("A wholesaler's counter chart, one page for each group."),
    "ShelfLabelsModel.kind": Message("Labels for a wholesaler's shelf: one for each size in stock and group."),
    "HandoutModel.kind": Message("A teacher's handout with exercises, and its answer key."),
    "CounterChartModel.title": Message("Title of the chart."),
    "HandoutModel.title": Message("Title of the handout."),
    "wholesaler": Message("Name of the wholesaler; without it the one in company.yaml."),
    "telephone": Message("Telephone number of the wholesaler; a chart may take it from company.yaml."),
    "stock": Message("The sizes in stock, by key or name in print; without it those of the catalogue's stock sheet."),
    "CounterChartModel.family": Message(
        "Family of the table that the chart is made from; the chart lists sizes by load."
    ),
    "CounterChartModel.application": Message("Application of the table; the catalogue must compute it."),
    "CounterChartModel.groups": Message("Groups that have a page each."),
    "ShelfLabelsModel.family": Message("Family of the table that the loads are from."),
    "ShelfLabelsModel.application": Message("Application of the table; the catalogue must compute it."),
    "ShelfLabelsModel.groups": Message("Groups that have a label each."),
    "ShelfLabelsModel.sst": Message("The two SSTs on each label, which must be rows of the application's tables."),
    "ShelfLabelsModel.sheet": Message("Grid of the label sheet; measure your own, and print at 100 percent."),
    "HandoutModel.school": Message("Name of the school."),
    "HandoutModel.class_label": Message("Name of the class."),
    "HandoutModel.seed": Message("Another seed gives other exercises."),
    "HandoutModel.blank_diagrams": Message(
        "Two more pages of axes to draw into: pressure-enthalpy diagram with its saturation dome, balance, superheat."
    ),
    "HandoutModel.family": Message("Thermostatic family of the table that the handout explains."),
    "HandoutModel.application": Message("Application of the table; the catalogue must compute it."),
    "HandoutModel.exercises": Message("How many exercises, of which kinds, and how difficult."),
    "ExercisesModel.count": Message("Number of exercises; without it 12."),
    "ExercisesModel.kinds": Message(
        "Kinds in their order, which begin again where there are more exercises; without it those of the difficulty."
    ),
    "ExercisesModel.difficulty": Message("How difficult the exercises are; without it medium."),
    "HandoutModel.group": Message("Group of the table; the catalogue must compute it."),
    "LabelSheetModel.columns": Message("Labels beside each other."),
    "LabelSheetModel.rows": Message("Labels below each other."),
    "LabelSheetModel.label_width": Message("Width of a label."),
    "LabelSheetModel.label_height": Message("Height of a label."),
    "LabelSheetModel.left_margin": Message("From the left edge of the paper to the first label."),
    "LabelSheetModel.top_margin": Message("From the top edge of the paper to the first label."),
    "LabelSheetModel.column_gap": Message("Gap between columns."),
    "LabelSheetModel.row_gap": Message("Gap between rows."),
    "LabelSheetModel.first": Message("The label to begin at, counted row by row: those before it are used."),
    # Languages.
    "LanguageModel.language": Message("Code of the language, which is the name of this file without .yaml."),
    "LanguageModel.texts": Message("The catalogue's own texts, each with its translation."),
    # Refrigerants.
    "RefrigerantModel.refrigerant": Message("Name of the refrigerant, which is the name of this file without .yaml."),
    "RefrigerantModel.safety_group": Message("Safety group (ASHRAE 34, ISO 817)."),
    "RefrigerantModel.components": Message("Share by mass of each component; together they are 100 percent."),
    "RefrigerantModel.composition_source": Message("Where the composition comes from."),
    "RefrigerantModel.gwp": Message("Global warming potential over 100 years, from one or more IPCC reports."),
    "RefrigerantModel.pairs": Message("Parameters of binary pairs that the property library lacks or estimates."),
    "RefrigerantModel.uncertainty": Message("How far computed and true properties may differ."),
    "RefrigerantModel.critical_temperature": Message("Critical temperature; without it the tool computes it."),
    "RefrigerantModel.critical_pressure": Message("Critical pressure; without it the tool computes it."),
    "GwpModel.report": Message("Assessment report of the IPCC."),
    "GwpModel.value": Message("The potential over 100 years, carbon dioxide is 1."),
    "GwpModel.below": Message("A figure that the potential is below, where the source gives no other."),
    "PairModel.between": Message("The two components; the parameters are in this order."),
    "PairModel.rule": Message("The linear mixing rule instead of parameters."),
    "PairModel.beta_t": Message("Parameter beta of the reducing temperature."),
    "PairModel.gamma_t": Message("Parameter gamma of the reducing temperature."),
    "PairModel.beta_v": Message("Parameter beta of the reducing volume."),
    "PairModel.gamma_v": Message("Parameter gamma of the reducing volume."),
    "UncertaintyModel.pressure": Message("Uncertainty of saturation pressures."),
    "UncertaintyModel.density": Message("Uncertainty of liquid density."),
    "UncertaintyModel.enthalpy": Message("Uncertainty of enthalpy differences."),
    "UncertaintyModel.reason": Message("Why the uncertainty is as large as that."),
}
_SECTIONS: Mapping[str, Message] = {
    "applicability": Message("whether the tables apply to a system"),
    "which_table": Message("which table is for which system, and what the pictograms mean"),
    "how_to_read": Message("one window step by step"),
    "worked_examples": Message("a load for each application, followed through its table"),
    "conversion": Message("factors for a capacity at other temperatures"),
    "families": Message("a page for each family"),
    "tables": Message("applications with their conditions, window tables and selection maps"),
    "cycle": Message("a pressure-enthalpy diagram; after the tables it fills a page that would be empty"),
    "order_guide": Message("what an order must state, part numbers"),
    "method": Message("equations, symbols, a limit calculated step by step"),
    "confidence": Message("scatter and confidence, with a graph for each family of what moves its limits"),
    "confidence_table": Message("scatter and confidence without the graphs"),
    "assumptions": Message("what the tables assume, with the weight of each assumption on the limits"),
    "verification": Message("what was checked against published values"),
    "refrigerants": Message("composition, safety group and uncertainty"),
    "left_out": Message("what is not printed, and why"),
    "revision_record": Message("the revisions, and what changed since an earlier release"),
}
_SAFETY: Mapping[str, Message] = {
    "A1": Message("lower toxicity, no flame propagation"),
    "A2L": Message("lower toxicity, lower flammability"),
    "A2": Message("lower toxicity, flammable"),
    "A3": Message("lower toxicity, higher flammability"),
    "B1": Message("higher toxicity, no flame propagation"),
    "B2L": Message("higher toxicity, lower flammability"),
    "B2": Message("higher toxicity, flammable"),
    "B3": Message("higher toxicity, higher flammability"),
}
_EXERCISES: Mapping[str, Message] = {
    "pick": Message("the sizes that cover a load, and the one with the largest margin"),
    "rounding": Message("both limits of a window to three figures"),
    "between": Message("whether a size covers a load between two rows"),
    "binding": Message("the window of a group, and the refrigerants that limit it"),
    "heads": Message("how much load a lower head pressure takes away"),
    "zone": Message("superheat from the graph, and what the valve does"),
    "mass_flow": Message("mass flow at the rating point and at one head"),
    "required_kv": Message("required flow coefficient, and its share of the rated one"),
    "static": Message("bulb temperature and static superheat at a spring setting"),
    "both_limits": Message("maximum and minimum load from the required flow coefficients at both heads"),
    "spring": Message("superheat after the adjusting stem was turned, and what the valve then does"),
}
VALUES: Mapping[str, Mapping[str, Message]] = {
    "ExercisesModel.kinds": _EXERCISES,
    "ExercisesModel.difficulty": {
        "easy": Message("tables and graphs to read"),
        "medium": Message("every kind"),
        "hard": Message("longer calculations, loads near the limits"),
    },
    "units": {"SI": Message("kW, degC and bar"), "IP": Message("kBtu/h, degF and psi")},
    "load_unit": {
        "kW": Message("kilowatts"),
        "kBtu/h": Message("thousands of Btu per hour"),
        "ton_refrigeration": Message("tons of refrigeration, 12 kBtu/h each"),
    },
    "language": {
        "en": Message("English"),
        "es": Message("Spanish"),
        "fr": Message("French"),
        "de": Message("German"),
        "es-MX": Message("Spanish with figures and dates as in Mexico"),
        "es-US": Message("Spanish with figures and dates as in the United States"),
    },
    "region": {
        "us": Message("the law of the United States"),
        "other": Message("none; the cautions are neutral"),
    },
    "paper": {"a4": Message("A4, 210 mm x 297 mm"), "letter": Message("US Letter, 8.5 in x 11 in")},
    "tables": {
        "nominal": Message("nominal limits; those at confidence are given beside them"),
        "at_confidence": Message("limits at confidence"),
    },
    "sections": _SECTIONS,
    "separate": _SECTIONS,
    "BookletModel.tables": {
        "wide": Message("rows fill the page; two short tables share one"),
        "dense": Message("small figures, rows close together; more tables share a page"),
        "single": Message("as wide, with a page for each table"),
    },
    "empty_tables": {
        "printed": Message("the table, with the reason in each cell"),
        "listed": Message("a line in the contents"),
    },
    "one_for_each": {"family": Message("valve family")},
    "safety_group": _SAFETY,
    "safety_groups": _SAFETY,
    "report": {
        "AR4": Message("fourth report, 2007"),
        "AR5": Message("fifth report, 2013"),
        "AR6": Message("sixth report, 2021"),
    },
    "rule": {"linear": Message("reducing temperature and volume are mole-weighted means")},
}
