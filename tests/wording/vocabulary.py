"""Words that readers do not meet, each with the term that the trade uses."""

import re
from dataclasses import dataclass

# (pattern, what to say instead); underscores read as spaces, so that keys and columns count too.
NEVER = (
    (r"(?<!\bat )\bleast\b(?![ -]squares)", "minimum"),
    (r"\bgreatest\b", "maximum"),
    (r"\bplaces?\b(?<!decimal place)(?<!decimal places)", "load window, margin or position in window"),
    (r"\b(stand|stands|stood|standing)\b", "is, are"),
    (r"\b(hold|holds|held|holding)\b", "covers (a load), valid (at the heads), constant (SST), contains"),
    (r"\b(serve|serves|served|serving)\b", "covers (a load), applies to, is for"),
    (r"\bsuits?\b|\bsuited\b", "fits, covers the load, is approved for"),
    (r"(?<!cold )(?<!machine )(?<!plant )\broom\b(?![ )]temperature|\))", "margin"),
    (r"\bfloated\b", "floating head pressure"),
    (r"(?<!compressor )\benvelopes?\b", "application"),
    (r"\bextremes?\b", "operating conditions"),
    (r"\bunsteady\b|\bdoes not steady\b", "hunts"),
    (r"\bsteady opening\b|\bstable opening\b(?<!minimum stable opening)", "minimum stable opening"),
    (r"\bfloods?\b(?! back)|\bflooding\b(?!['\"`:]| back)", "floods back"),
    (r"\bladders?\b", "size range"),
    (r"\bterritor(y|ies)\b", "selection map"),
    # A handbook has editions.
    (r"(?<!\d{4} )\beditions?\b(?! inferred| before \d{4})", "publication"),
    (r"\b(?<!in-)houses?\b", "company, wholesaler, school"),
    (r"\btrims?\b(?!\(\))", "power element (charge) and spring setting"),
    (r"\bdemands?\b|\bdemanded\b", "required Kv per kW"),
    (r"\bworkings?\b(?! (pressure|director|folder|day|fluid))", "calculation; operating"),
    (r"\bc(o|a)me about\b", "calculation"),
    (r"\b(tell|tells|told|telling|untold)\b", "report, state; cannot be determined"),
    (r"\b(left|leave|leaves|leaving) away\b|\bgone\b", "left out, omitted"),
    (r"\bkept\b", "cached; stays"),
    (r"\bbehind\b", "downstream"),
    (
        r"\bbefore (it|the (valve|port|part|distributor|evaporator|orifice|compressor|nozzle))\b"
        r"(?! (is|are|was|can|runs?)\b)",
        "upstream of",
    ),
    (r"\brestat(e|es|ed|ing|ement)\b", "convert"),
    (r"\bfrom memory\b|\bnot read in the\b", "not checked against the source"),
    (r"\blicensed practice\b", "licensed technician; the equipment manufacturer's instructions"),
    (r"\b(naught|nought|lest|whence|thereof|wherefore|beware|heed|aught)\b", "plain words of today"),
    (r"\b(parted|misled|mended|mend|mends)\b", "split; wrong; correct, fix"),
    (r"(?<!in )\bplain(ly)?\b(?! text)", "simple, unformatted"),
    (r"\bmistakes?\b", "error"),
)
# Beginnings of words that the United States spell otherwise, common in refrigeration texts; but for an attribute of HTML.
BRITISH = re.compile(
    r"(?<![A-Za-z])(vapour|modell(?:ed|ing)|litre|grey|licence|labell(?:ed|ing)(?!by)|neighbour|metre|colour|centre|behaviour|programme)",
    re.IGNORECASE,
)
_NEVER = tuple((re.compile(pattern, re.IGNORECASE), better) for pattern, better in NEVER)


@dataclass(frozen=True, slots=True)
class Wrong:
    """A word that must not be read, and what to say."""

    line: int
    found: str
    better: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.found!r}: say {self.better}"


def wrong_words(text: str) -> list[Wrong]:
    """Every word of the list in a text; a line break counts as a space."""
    flat = text.replace("_", " ").replace("\n", " ").replace("\N{NO-BREAK SPACE}", " ")
    found = [
        Wrong(text.count("\n", 0, match.start()) + 1, match[0], better)
        for pattern, better in _NEVER
        for match in pattern.finditer(flat)
    ]
    return sorted(found, key=lambda wrong: wrong.line)
