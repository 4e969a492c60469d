"""The commands as functions; `tablegen` exports them.

Quantities are texts with their units, as in config files and on the command line ("24 degF", "5.9 kW"), or floats in SI.
A catalogue is the path of its file or folder; without it the packaged demo is meant.  `units` ("IP" or "SI") are those
of printed figures; without them the catalogue's own.

Every question returns an `Answer`: a notebook shows it as a table, ``print`` as a terminal does, ``answer.frame()`` is
its table as a pandas frame in SI, ``answer.write("sheet.pdf")`` the printed sheet, and `answer.passed` says whether the
command would end with exit code 0.  `windows` returns a frame, `check` the inputs of a catalogue, `build` a report.  What
cannot be answered raises one of the errors of `tablegen.errors`.
"""
