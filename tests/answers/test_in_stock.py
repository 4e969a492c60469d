"""What is in stock comes first, and nothing that is not there is recommended unless asked."""

from __future__ import annotations

import datetime
import json
import re
from pathlib import Path

import openpyxl
import pytest

from tablegen import pick, retrofit
from tablegen.cli.main import main
from tablegen.report.html.answer_page import page
from tablegen.report.json_export import to_json
from tests.worked import WORKED, copy_of_worked

COOLER = {"sst": "24 degF", "application": "walk_in_medium", "catalogue": WORKED}
# R404A at 24 degF and 20 kBtu/h is covered by Alder 90, 125 and 180; 125 has the largest margin of the three.
LOAD = "20 kBtu/h"
OF = ("--catalogue", str(WORKED))


def sheet(folder: Path, rows: str, name: str = "stock.csv") -> Path:
    path = folder / name
    path.write_text(rows, encoding="utf-8")
    return path


def first(answer) -> tuple[str, str]:
    record = answer.record()
    return record["first_family"], record["first_size"]


def test_stock_decides_before_the_margin(tmp_path):
    everything = pick("R404A", load=LOAD, **COOLER)
    only = sheet(tmp_path, "family,size,charge,quantity\nAlder,180,cross-404-medium,1\nAlder,63,cross-404-medium,9\n")
    stocked = pick("R404A", load=LOAD, stock=only, **COOLER)
    assert first(everything)[0] == "hazel" and first(stocked) == ("alder", "180") and stocked.passed
    text = str(stocked)
    assert "Larger margin, but not in stock: Hazel 400" in text and "1 in stock" in text
    # Which valves cover the load is the same.
    assert sorted(row[:2] for row in rows_of(stocked)) == sorted(row[:2] for row in rows_of(everything))
    assert first(pick("R404A", load=LOAD, stock=only, all_sizes=True, **COOLER)) == first(everything)


def rows_of(answer) -> list[tuple[object, ...]]:
    frame = answer.frame()
    return frame.loc[frame["verdict"] == "fits", ["family", "size", "margin"]].to_numpy().tolist()


def test_nothing_in_stock_is_no_recommendation(tmp_path, capsys):
    path = sheet(tmp_path, "family,size,charge,quantity\nAlder,90,cross-404-medium,0\nAlder,63,cross-404-medium,9\n")
    asked = ["pick", "R404A", "--load", LOAD, "--sst", "24F", "--application", "walk_in_medium", *OF]
    assert main([*asked, "--stock", str(path), "--json"]) == 1
    answer = json.loads(capsys.readouterr().out)
    assert answer["facts"]["fits"] is False and "To order" not in json.dumps(answer)
    assert main([*asked, "--stock", str(path)]) == 1
    out = " ".join(capsys.readouterr().out.split())
    assert "No valve in stock covers this load. Not in stock, but it fits: Hazel 400, margin 2.57." in out
    assert "To order" not in out


def test_another_charge_is_another_valve(tmp_path):
    path = sheet(tmp_path, "family,size,charge\nAlder,90,cross-404-medium\n")
    assert first(pick("R404A", load=LOAD, stock=path, **COOLER)) == ("alder", "90")
    assert not pick("R448A", load=LOAD, stock=path, **COOLER).passed


def test_how_many_are_wanted_changes_no_valve(tmp_path):
    """Of 125 the margin is larger; 90 fits too, and there are more of it."""
    rows = "family,size,charge,quantity\nAlder,125,cross-404-medium,1\nAlder,90,cross-404-medium,2\n"
    path = sheet(tmp_path, rows)
    assert "Only" not in str(pick("R404A", load=LOAD, stock=path, **COOLER))
    few = pick("R404A", load=LOAD, stock=path, quantity=2, **COOLER)
    margins = {row[1].text: row for row in few.table("fitting").rows}
    assert first(few) == ("alder", "125")
    text = " ".join(few.summary)
    [margin] = [value.text for value in margins["90"] if re.fullmatch(r"1\.\d\d", value.text)]
    assert f"Only 1 of 2 is in stock. Alder 90 has 2 in stock, margin {margin}." in text
    none = pick("R404A", load=LOAD, stock=path, quantity=3, **COOLER)
    assert first(none) == ("alder", "125") and "Only 1 of 3 is in stock." in str(none)
    assert "Alder 90 has" not in str(none)


def test_a_part_number_says_which_valve_it_is(tmp_path):
    book = openpyxl.Workbook()
    for row in (
        ["Part number", "Quantity", "Price [USD]", "Location", "Supplier"],
        ["71-0108", 2, 44.25, "B-14", "N 7"],
    ):
        book.active.append(row)
    book.save(tmp_path / "stock.xlsx")
    answer = pick("R404A", load=LOAD, stock=tmp_path / "stock.xlsx", **COOLER)
    assert first(answer) == ("alder", "125")
    assert "part number 71-0108, 2 in stock, location B-14, price 44.25 USD, Supplier N 7" in " ".join(
        str(answer).split()
    )
    order = answer.sections[0].record()
    assert order["part_number"] == "71-0108" and order["stock_quantity"] == 2 and order["stock_prices"] == ("44.25",)


def test_what_a_valve_cost_is_on_nothing_that_is_handed_out(tmp_path):
    rows = (
        "part_number,Our Cost,Unit Cost,Unit Price,Margin %,Markup,EK,Buying price,Coste,avgCost,Vendor\n"
        "71-0108,21.17,22.17,58.00,63.17,64.17,23.17,24.17,25.17,25.17,Brook Street\n"
    )
    answer = pick("R404A", load=LOAD, stock=sheet(tmp_path, rows), **COOLER)
    assert first(answer) == ("alder", "125")
    for shown in (str(answer), to_json(answer), page(answer)):
        assert "58.00" in shown and "Brook Street" in shown
        assert not re.search(r"cost|markup|6[34]\.17|2[1-5]\.17", shown, re.I)


@pytest.mark.parametrize("heading", ["Price (cost)", "Unit Price [our cost]", "Price (<b>)"])
def test_what_is_in_brackets_behind_a_price_is_a_currency_or_the_column_no_price(heading, tmp_path):
    answer = pick(
        "R404A", load=LOAD, stock=sheet(tmp_path, f"part_number,quantity,{heading}\n71-0108,2,46.17\n"), **COOLER
    )
    order = answer.sections[0].record()
    assert order["stock_prices"] == () and ("46.17" in str(answer)) == ("<b>" in heading)


def test_a_part_number_may_begin_with_a_number_sign(tmp_path):
    catalogue = copy_of_worked(tmp_path / "own")
    for name in ("part_numbers.csv", "stock.csv"):
        own = catalogue.parent / name
        if own.exists():
            own.write_text(own.read_text(encoding="utf-8").replace("71-0108", "#71-0108"), encoding="utf-8")
    rows = "# counted on Friday, by hand\npart_number,quantity\n#71-0108,2\n# not found,yet\n"
    answer = pick("R404A", load=LOAD, stock=sheet(tmp_path, rows), **{**COOLER, "catalogue": catalogue})
    assert first(answer) == ("alder", "125") and "part number #71-0108, 2 in stock" in " ".join(str(answer).split())


def test_a_long_location_is_shortened_with_a_note(tmp_path, capsys):
    long = "Aisle 7, upper shelf, left of the door, bin 43"
    path = sheet(tmp_path, f'part_number,quantity,bin\n71-0108,1,"{long}"\n')
    assert "location Aisle 7, upper shelf, left of the door,…" in " ".join(
        str(pick("R404A", load=LOAD, stock=path, **COOLER)).split()
    )
    assert main(["check", *OF, "--stock", str(path)]) == 0
    assert "1 text has more than 40 characters and is shortened: line 2" in capsys.readouterr().err


def test_decimal_commas_and_places_add_up(tmp_path):
    rows = "family;size;charge;quantity;price\nalder;90;cross-404-medium;2;38,5\nalder;90;cross-404-medium;3;\n"
    answer = pick("R404A", load=LOAD, stock=sheet(tmp_path, rows), quantity=5, **COOLER)
    assert first(answer) == ("alder", "90") and answer.sections[0].record()["stock_quantity"] == 5
    assert "price 38.50" in str(answer)


@pytest.mark.parametrize(
    ("headings", "price", "shown"),
    [
        ("Item No,Family,Size,Charge,Qty On Hand,Unit Price,Bin", "$46.00", "$46.00"),
        ("PART #,family,SIZE,charge,In-Stock,List Price [USD],Shelf", '"1,038.50"', "1,038.50 USD"),
        ("Part No.,Family,Size,Charge,ON HAND,price,location", "USD 46", "46.00 USD"),
        ("SKU,Series,Valve size,Charge,Quantity_on_hand,Unit Price USD,Bin Location", "46", "46.00 USD"),
    ],
)
def test_headings_of_an_inventory_export_are_read(headings, price, shown, tmp_path):
    rows = f"Northgate - inventory on hand\nRun 11/30/2026\n\n{headings}\nN-7,Alder,90,cross-404-medium,3,{price},B-2\n"
    answer = pick("R404A", load=LOAD, stock=sheet(tmp_path, rows), **COOLER)
    assert first(answer) == ("alder", "90")
    shelf = " ".join(str(answer).split())
    assert f"On the shelf: part number N-7, 3 in stock, location B-2, price {shown}" in shelf


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("famly,size\nalder,90\n", ":1: famly: 'famly' is not allowed; a column must be one of"),
        ("size\n90\n", ":1: no column says which valve a row is; name one column part_number (or item number, "),
        (
            "family,size,charge\nAldr,90,cross-404-medium\n",
            ":2: family: 'Aldr' is not allowed; a family must be one of",
        ),
        ("family,size,charge\nAlder,91,cross-404-medium\n", ":2: size: '91' is not allowed"),
        ("family,size\nAlder,90\n", ":2: charge: state the charge: "),
        (
            "family,size,charge,quantity\nAlder,90,cross-404-medium,1.5\n",
            ":2: quantity: '1.5' is not allowed; must be a",
        ),
        ("family,size,charge,price\nAlder,90,cross-404-medium,ten\n", ":2: price: 'ten' is not allowed"),
        ("part_number,family,size\n71-0105,Hazel,250\n", ":2: family: 'hazel' is not what part number 71-0105 is for"),
        ("part_number,quantity\nQX-1,2\n", ": no row names a valve of the catalogue: no part number is in the list"),
        ("part_number,size\nQX-1,90\n", ":2: family: part number 'QX-1' is not in the list of part numbers"),
        ("family,size,charge\n", ": no row lists a valve"),
        ("family,size,On Hand,Qty\nAlder,90,2,2\n", ":1: Qty: the column 'On Hand' already gives quantity; keep one"),
        (
            "Title\nPart No,Family,Size,Charge\nN-1,Alder,90,cross-404-medium\nN-1,Alder,63,cross-404-medium\n",
            ":4: Part No: part number 'N-1' is that of another valve in line 3",
        ),
        ("family,size,charge,price\nAlder,90,cross-404-medium,46 call\n", ":2: price: '46 call' is not allowed"),
        (
            "family,size,charge,price [USD]\nAlder,90,cross-404-medium,EUR 4\n",
            ":2: price [USD]: 'EUR 4' is not allowed; prices of one sheet are in one currency, here USD",
        ),
        ("family,size,charge,location\nAlder,90,cross-404-medium,a\x07b\n", ":2: location: "),
        # The sign of the first row is one of several currencies; the code of the second says which.
        (
            "part_number,price\n71-0108,$4\n71-0107,USD 4\n71-0105,CAD 4\n",
            ":4: price: 'CAD 4' is not allowed; prices of one sheet are in one currency, here USD",
        ),
        (
            "part_number,quantity,price [USD],location\n71-0108,4,1,038.50,E-4\n",
            ":2: 'E-4' is not allowed; this row has more cells than the 4 headings",
        ),
        (
            "part_number;quantity;price\n71-0108;1.000;44,25\n",
            ":2: quantity: '1.000' is not allowed; could mean 1000 or 1,000; remove the point",
        ),
        ("part_number;price\n71-0108;1.038\n", ":2: price: '1.038' is not allowed; could mean 1038 or 1,038"),
    ],
)
def test_what_is_wrong_is_said_by_line(rows, said, tmp_path, capsys):
    path = sheet(tmp_path, rows)
    assert main(["check", *OF, "--stock", str(path)]) == 2
    out, err = capsys.readouterr()
    assert not out and said in err and "Traceback" not in err


def test_a_bad_row_of_part_numbers_is_left_out_of_answers_and_refused_by_check(tmp_path, capsys):
    catalogue = copy_of_worked(tmp_path / "own")
    path = catalogue.parent / "part_numbers.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("71-0108,"))
    lines[at] = "71-0108,Alder,77,cross-404-medium"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    rows = "part_number,quantity\n71-0107,1\n71-0108,2\n"
    answer = pick("R404A", load=LOAD, stock=sheet(tmp_path, rows), **{**COOLER, "catalogue": catalogue})
    assert first(answer) == ("alder", "90")
    said = f"part_numbers.csv: 1 row has an error and is left out (line {at + 1}); 'tablegen check' says what is wrong."
    assert said in answer.notes
    assert said in retrofit("alder", "90", refrigerant="R404A", load=LOAD, **{**COOLER, "catalogue": catalogue}).notes
    assert main(["check", "--catalogue", str(catalogue)]) == 2
    assert f"part_numbers.csv:{at + 1}: size: " in capsys.readouterr().err


EXPORT = """Northgate Supply; inventory, all goods
Run date: 11/30/2026 06:02 PM

Stock Code;Description;QOH;Unit Price;Bin
71-0108;TXV 125;2;44,25 $;B-14
FD-083;Filter drier 3/8;40;12,10 $;F-01
71 0107;TXV 90;1;40,00 $;B-13
71-0105;TXV 63;-2;40,00 $;B-12
CY-24;Cylinder;-1;;Y-01
Total;;40;;
"""


def test_other_goods_and_totals_of_an_export_are_skipped_with_one_note(tmp_path, capsys):
    catalogue = copy_of_worked(tmp_path / "own")
    path = sheet(tmp_path, EXPORT)
    answer = pick("R404A", load=LOAD, stock=path, **{**COOLER, "catalogue": catalogue})
    assert first(answer) == ("alder", "125") and "left out" not in str(answer)
    assert main(["check", "--catalogue", str(catalogue), "--stock", str(path)]) == 0
    notes = [line for line in capsys.readouterr().err.splitlines() if "stock.csv: " in line]
    assert notes[:3] == [
        "note: stock.csv: 4 rows are skipped: their part numbers are not in the list, and they name no family: line 6 "
        "('FD-083'), line 7 ('71 0107'), line 9 ('CY-24'), ...",
        "note: stock.csv: 1 skipped row has a part number close to one in the list: line 7, '71 0107' (is it 71-0107?)",
        "note: stock.csv: 1 negative quantity counts as 0: line 8",
    ]


def test_a_row_with_an_error_is_left_out_of_answers_and_an_error_of_check(tmp_path, capsys):
    catalogue = copy_of_worked(tmp_path / "own")
    rows = "family,size,charge,quantity\nAlder,125,cross-404-medium,two\nAlder,90,cross-404-medium,3\n"
    path = sheet(tmp_path, rows)
    answer = pick("R404A", load=LOAD, stock=path, **{**COOLER, "catalogue": catalogue})
    assert first(answer) == ("alder", "90")
    assert answer.notes[-1] == (
        "stock.csv: 1 row has an error and is left out (line 2); 'tablegen check' says what is wrong."
    )
    assert main(["check", "--catalogue", str(catalogue), "--stock", str(path)]) == 2
    [line] = capsys.readouterr().err.splitlines()
    assert "stock.csv:2: quantity: 'two' is not allowed; must be a number" in line


def test_thousands_of_a_quantity_are_read(tmp_path):
    path = sheet(tmp_path, 'family,size,charge,quantity\nAlder,90,cross-404-medium,"1,200"\n')
    assert "1200 in stock" in str(pick("R404A", load=LOAD, stock=path, **COOLER))


def test_the_sheet_of_a_workbook_with_the_headings_is_read(tmp_path, capsys):
    book = openpyxl.Workbook()
    book.active.title = "Cover"
    book.active.append(["Read me"])
    stocked = book.create_sheet("On hand")
    stocked.append(["Item No", "Qty", "Last counted"])
    stocked.append(["71-0108", 2, datetime.datetime(2026, 10, 28)])
    book.save(tmp_path / "stock.xlsx")
    text = str(pick("R404A", load=LOAD, stock=tmp_path / "stock.xlsx", **COOLER))
    assert "Last counted 2026-10-28" in text and "00:00" not in text
    stocked["A1"] = stocked["B1"] = "?"
    book.save(tmp_path / "stock.xlsx")
    asked = ["pick", "R404A", "--load", LOAD, "--sst", "24F", "--application", "walk_in_medium", *OF]
    assert main([*asked, "--stock", str(tmp_path / "stock.xlsx")]) == 2
    assert "no sheet has the required headings; sheets read: 'Cover' and 'On hand'" in capsys.readouterr().err


def test_a_sheet_in_the_windows_code_page_is_read_with_a_note(tmp_path, capsys):
    catalogue = copy_of_worked(tmp_path / "own")
    text = "Item No,Qty,Bin\n71-0108,2,Étagère 4 – ½\n"
    path = tmp_path / "stock.csv"
    path.write_bytes(text.encode("cp1252"))
    assert "location Étagère 4 – ½" in " ".join(str(pick("R404A", load=LOAD, stock=path, **COOLER)).split())
    assert main(["check", "--catalogue", str(catalogue), "--stock", str(path)]) == 0
    assert "note: stock.csv: the file is not UTF-8, so it was read as Windows-1252" in capsys.readouterr().err
    # Another code page, and UTF-8 with a byte missing.
    for other in (text.replace("½", "").replace("–", "").encode("cp850"), text.encode()[:-3] + b"\xbd\n"):
        path.write_bytes(other)
        assert main(["check", "--catalogue", str(catalogue), "--stock", str(path)]) == 2
        assert "a character is not UTF-8" in capsys.readouterr().err


def test_evaporators_of_one_unit_share_what_is_in_stock(tmp_path):
    path = sheet(tmp_path, "family,size,charge,quantity\nAlder,90,cross-404-medium,2\n")
    asked = {**COOLER, "load": "40 kBtu/h", "split": ["50 percent", "50 percent"], "stock": path}
    both = pick("R404A", quantity=2, **asked)
    assert both.summary == ("All evaporators together need 4 Alder 90: 2 in stock, 2 to order.",)
    assert pick("R404A", quantity=1, **asked).summary == ()


def test_an_application_may_be_called_as_in_a_list_of_jobs():
    named = pick("R404A", load=LOAD, **{**COOLER, "application": "Walk-in cooler, floating head pressure"})
    assert named.record() == pick("R404A", load=LOAD, **COOLER).record()


def test_part_numbers_alone_need_a_list_of_them(tmp_path, capsys):
    catalogue = copy_of_worked(tmp_path / "own")
    text = catalogue.read_text(encoding="utf-8")
    catalogue.write_text(re.sub("(?m)^part_numbers:.*\n", "", text), encoding="utf-8")
    path = sheet(tmp_path, "Item,Qty,Price [USD]\n71-0108,2,44\n")
    assert main(["check", "--catalogue", str(catalogue), "--stock", str(path)]) == 2
    [line] = capsys.readouterr().err.splitlines()
    assert "stock.csv:1: 'Item' identifies a valve only through a list of part numbers: make one" in line
    assert "name it under part_numbers in catalogue.yaml" in line


def test_all_sizes_is_for_a_stock_sheet(capsys):
    asked = ["pick", "R404A", "--load", LOAD, "--sst", "24F", "--application", "walk_in_medium", *OF]
    assert main([*asked, "--all-sizes"]) == 2
    assert "--all-sizes is for a stock sheet" in capsys.readouterr().err


def test_a_catalogue_names_its_stock_once(tmp_path, capsys):
    catalogue = copy_of_worked(tmp_path / "own")
    sheet(tmp_path / "own", "family,size,charge,quantity\nAlder,90,cross-404-medium,3\n")
    text = catalogue.read_text(encoding="utf-8").replace("part_numbers: ", "stock: stock.csv\npart_numbers: ", 1)
    catalogue.write_text(text, encoding="utf-8")
    assert first(pick("R404A", load=LOAD, **{**COOLER, "catalogue": catalogue})) == ("alder", "90")
    (tmp_path / "own" / "stock.csv").write_text("family,size\nAlder,1\n", encoding="utf-8")
    capsys.readouterr()
    assert main(["check", "--catalogue", str(catalogue)]) == 2
    assert "stock.csv:2: size: '1' is not allowed" in capsys.readouterr().err


def test_sizes_for_an_existing_valve_are_in_stock_first(tmp_path):
    catalogue = copy_of_worked(tmp_path / "own")
    text = catalogue.read_text(encoding="utf-8").replace("part_numbers: ", "stock: stock.csv\npart_numbers: ", 1)
    catalogue.write_text(text, encoding="utf-8")
    asked = {"refrigerant": "R404A", "load": LOAD, **COOLER}
    sheet(tmp_path / "own", "family,size,charge,quantity\nAlder,180,cross-404-medium,3\nAlder,90,cross-404-medium,0\n")
    answer = retrofit("alder", "45", **{**asked, "catalogue": catalogue})
    sizes = next(table for table in answer.tables if table.key == "other_sizes")
    shown = [(row[1].text, row[-1].text) for row in sizes.rows]
    assert shown[0] == ("180", "3") and dict(shown)["90"] == "no"
    usual = next(t for t in retrofit("alder", "45", **asked).tables if t.key == "other_sizes")
    assert usual.rows[0][1].text != "180" and len(usual.columns) == len(sizes.columns) - 1
