"""Every text that a user reads: messages, pages, answers and help, ready for translation.

For developers
--------------
- One module for each topic (`pick`, `retrofit`, `booklet`, `config_errors`, `command_line`, ...).  A module contains
  `Message` and `Plural` constants and small functions that combine them; it knows nothing else of the package.
- A constant is named in UPPER_CASE after what it says: ``NO_VALVE``, ``LOAD_TOO_LOW``.
- Use it as ``from tablegen.wording import pick as wording``, then ``wording.NO_VALVE(refrigerant=..., reason=...)``.
- Values are texts and whole numbers.  Loads, pressures and temperatures arrive formatted with their units by the
  report's formatter, so that one place decides on digits, decimal signs and units.
- Do not build a sentence from pieces: word order differs between languages.  State the whole sentence, twice if it has
  two forms, and count with `Plural`.  A paragraph is one message.
- Names of enumeration values (operating conditions, reasons, zones, flow laws, ...) are in `terms`, once.
- Arguments of `Message` and `Plural` are literals.  Tests check that every message is used, that every call gives
  the placeholders that its message takes, and that no other module contains a sentence.

For translators
---------------
Placeholders in braces stay as they are and may change places.  US English of the trade is the source; terms follow one
list: minimum and maximum load, load window, margin, application, operating condition, minimum stable superheat (MSS),
floating head pressure.
"""
