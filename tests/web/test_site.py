"""The desk without a network: its answers are those of the commands, and nobody else's page can ask it anything."""

from __future__ import annotations

import base64
import html
import inspect
import io
import json
import os
import re
from pathlib import Path

import openpyxl
import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.report.html.answer_page import fragment
from tablegen.web.form_fields import FieldKind
from tablegen.web.guard import Access
from tablegen.web.questions import QUESTIONS, Desk
from tests.demo import CATALOGUE
from tests.small import small_catalogue
from tests.web.desks import ADDRESS, ASKED, DEMO, PICK, client
from tests.worked import WORKED, copy_of_worked

AT_TERMINAL = {
    "pick": ("R448A", "--sst", "24 degF", "--load", "20 kBtu/h", "--application", "walk_in_medium"),
    "retrofit": (
        *("alder", "45", "--refrigerant", "R448A", "--was", "R404A", "--sst", "24F", "--load", "20 MBH"),
        *("--application", "walk_in_medium"),
    ),
    "convert": (
        *("R448A", "--capacity", "20 MBH", "--condensing", "95F", "--basis", "bubble", "--subcooling", "9 delta_degF"),
        *("--sst", "24F", "--application", "walk_in_medium"),
    ),
    "states": ("R448A", "R404A", "--coldest", "-40F", "--warmest", "0F", "--step", "20 delta_degF"),
    "trace": ("alder", "90", "R448A", "--sst", "24F", "--application", "walk_in_medium", "--limit", "maximum"),
}
# Parameters that name files of the computer that the desk runs on, or fields of it.
NEVER = {"case", "record", "part_numbers", "stock", "catalogue", "configs", "jobs", "output"}


def text_of(shown: str) -> str:
    """The text of HTML, spaces alike."""
    shown = shown.replace("<sub>", "_").replace("</sub>", "")
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", shown)).replace("\N{NO-BREAK SPACE}", " ").split())


def problems(answer: object) -> list[str]:
    return [html.unescape(line) for line in re.findall(r'<p class="problem">(.*?)</p>', answer.text)]


@pytest.mark.parametrize("name", ASKED)
def test_an_answer_is_the_one_of_the_command(name, capsys):
    catalogue = () if name == "states" else ("--catalogue", str(CATALOGUE))
    main([name, *AT_TERMINAL[name], *catalogue])
    at_terminal = capsys.readouterr().out
    answer = client().get(f"/answer/{name}", params=ASKED[name])
    assert answer.status_code == 200
    shown = text_of(answer.text)
    # Every cell and sentence of the terminal, whose lines are folded: word by word, in any order.
    words = set(re.sub(r"[<>]", " ", shown).split())
    missing = [word for word in at_terminal.split() if word not in words]
    assert not [word for word in missing if any(c.isalnum() for c in word)]
    # The page that a pasted address opens has the same answer.
    whole = client().get(f"/{name}", params=ASKED[name])
    assert whole.status_code == 200 and answer.text in whole.text


def test_figures_and_verdict_are_those_of_the_function():
    answer = tablegen.pick("R448A", sst="24 degF", load="20 kBtu/h", application="walk_in_medium", catalogue=CATALOGUE)
    shown = client().get("/answer/pick", params=PICK).text
    assert answer.summary[0] in text_of(shown)
    for row in answer.table("fitting").cells():
        assert "".join(f">{html.escape(cell)}</" for cell in row[:1]) in shown
        assert " ".join(row).replace("\N{NO-BREAK SPACE}", " ") in text_of(shown)
    # All but the links, which lead to documents that are not at the desk.
    assert re.sub(r"</?a\b[^>]*>", "", fragment(answer)) == shown


def test_an_answer_does_not_depend_on_what_was_asked_before():
    asked = [PICK | {"load": load} for load in ("8", "20", "31", "20")]
    own = client()
    first = [own.get("/answer/pick", params=values).text for values in asked]
    for values, shown in zip(asked, first, strict=True):
        case = {"sst": "24F", "application": "walk_in_medium", "catalogue": CATALOGUE}
        alone = fragment(tablegen.pick("R448A", load=f"{values['load']} kBtu/h", **case))
        assert re.sub(r"</?a\b[^>]*>", "", alone) == shown


@pytest.mark.parametrize(
    ("load", "unit", "watts"),
    [
        ("20", "kBtu/h", 20e3 * 0.2930710701722222),
        ("20 kBtu/h", "kW", 20e3 * 0.2930710701722222),
        ("12,000", "Btu/h", 12e3 * 0.2930710701722222),
        ("1.5", "ton_refrigeration", 1.5 * 12e3 * 0.2930710701722222),
        ("  5.9 ", "kW", 5900.0),
        ("2 tons", "", 2 * 12e3 * 0.2930710701722222),
    ],
)
def test_a_figure_has_the_unit_beside_it_unless_it_brings_its_own(load, unit, watts):
    own = next(field for field in QUESTIONS["pick"].fields if field.name == "load")
    given = own.argument({"load": load, "load_unit": unit}, None)
    answer = tablegen.pick("R448A", sst="24F", load=given, application="walk_in_medium", catalogue=CATALOGUE)
    assert answer.record()["load_w"] == pytest.approx(watts, rel=1e-12)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"load": "1,5", "load_unit": "kW"}, "Load at the rating point: '1,5 kW' is not allowed; the comma could be"),
        ({"load": "20,000", "load_unit": "kBtu/h"}, "the comma could be a decimal comma"),
        ({"load": "-3"}, "Load at the rating point: '-3 kBtu/h' is not allowed"),
        ({"load": "many"}, "Load at the rating point: 'many' is not allowed; "),
        ({"load": "x" * 400}, "Load at the rating point: 'xxxxxxxxxxxxxxxxxxxx' is not allowed; it must be at most"),
        ({"sst": "90"}, "SST (dew): '90 degF' is not allowed; it must be at least -76 degF and at most 86 degF"),
        ({"sst": "24 psi"}, "SST (dew): '24 psi' is a pressure; "),
        ({"refrigerant": "R448"}, "did you mean R448A"),
        ({"application": "walk_in"}, "an application must be one of"),
        ({"application": ""}, "name one with Application"),
        ({"family": "x"}, "a family"),
        ({"quantity": "3.5"}, "Quantity: '3.5' is not allowed; it must be a whole number"),
        ({"quantity": "0"}, "Quantity: 0 is not allowed"),
        ({"units": "US"}, "a unit system must be one of IP, SI"),
        ({"overrides": "losses.lift=1"}, "Changes to the application: losses.lift: 1 is not allowed; it has no unit"),
        ({"case": "/etc/passwd"}, "'case' is not a field of this page"),
    ],
)
def test_bad_input_is_one_line(wrong, message):
    answer = client().get("/answer/pick", params=PICK | wrong)
    assert answer.status_code == 422
    (line,) = problems(answer)
    assert message in line and "\n" not in line
    assert answer.text == f'<p class="problem">{html.escape(line)}</p>'


def test_the_line_is_that_of_the_command_but_for_the_name_of_the_field(capsys):
    wrong = {"sst": "90", "sst_unit": "degF"}
    arguments = ["--sst", "90 degF", "--load", "20 kBtu/h", "--application", "walk_in_medium"]
    assert main(["pick", "R448A", *arguments, "--catalogue", str(CATALOGUE)]) == 2
    at_terminal = capsys.readouterr().err.strip()
    (line,) = problems(client().get("/answer/pick", params=PICK | wrong))
    assert line.removeprefix("SST (dew)") == at_terminal.removeprefix("--sst")


def test_a_box_temperature_stands_in_place_of_an_sst():
    asked = {name: value for name, value in PICK.items() if not name.startswith("sst")} | {"box": "34"}
    shown = client().get("/answer/pick", params=asked | {"coil_difference": "10"}).text
    answer = tablegen.pick(
        "R448A",
        box="34F",
        coil_difference="10 delta_degF",
        load="20 MBH",
        application="walk_in_medium",
        catalogue=CATALOGUE,
    )
    assert "R448A at SST 24 °F (dew), 20.0 kBtu/h" in text_of(shown)
    assert re.sub(r"</?a\b[^>]*>", "", fragment(answer)) == shown
    (line,) = problems(client().get("/answer/pick", params=PICK | {"box": "34"}))
    assert line == "Box temperature: give either SST (dew) or Box temperature, not both"


def test_a_stock_sheet_of_the_desk_decides_what_is_recommended(tmp_path):
    sheet = tmp_path / "stock.csv"
    sheet.write_text("family,size,charge,quantity,location\nrowan,6.3,cross-448-medium,2,B7\n", encoding="utf-8")
    desk = Desk(WORKED, None, sheet)
    shown = text_of(client(desk).get("/answer/pick", params=PICK).text)
    assert "First choice: Rowan 6.3, with the largest margin in stock." in shown and "location B7" in shown
    shown = text_of(client(desk).get("/answer/pick", params=PICK | {"all_sizes": "yes"}).text)
    assert "First choice: Hazel 250" in shown
    assert 'name="all_sizes"' in client(desk).get("/pick").text
    assert 'name="all_sizes"' not in client().get("/pick").text
    sheet.write_text("family,size,charge,quantity,location\nrowan,6.3,cross-448-medium,many,B7\n", encoding="utf-8")
    (line,) = problems(client(desk).get("/answer/pick", params=PICK))
    assert line.startswith("stock.csv:2: quantity: ")


LIST = "refrigerant,sst [degF],load [kBtu/h],application,quantity\nR448A,24,20,walk_in_medium,3\nR999,24,20,,1\n"
SENT = {"content": LIST.encode(), "headers": {"origin": ADDRESS}}


def test_a_list_of_jobs_comes_back_answered():
    answer = client().post("/answer/jobs?name=week+48.csv", **SENT)
    assert answer.status_code == 200
    found = answer.json()
    assert found["name"] == "week 48-answered.xlsx"
    assert "week 48.csv:3: refrigerant: 'R999' is not allowed" in text_of(found["shown"])
    assert "Hazel F" in text_of(found["shown"])
    book = openpyxl.load_workbook(io.BytesIO(base64.b64decode(found["workbook"])))
    cells = [cell for sheet in book for row in sheet.iter_rows(values_only=True) for cell in row]
    assert "F" in map(str, cells) and book.sheetnames
    assert 'type="file"' in client().get("/jobs").text


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        ("list.pdf", b"x", "'list.pdf' is not allowed; a list of jobs is a file that ends in .csv or .xlsx"),
        ("", b"x", "'' is not allowed"),
        ("../../etc/list.csv", b"refrigerant\n", "list.csv"),
        ("list.csv", b"x" * 5_000_001, "list.csv is not allowed; a list of jobs has at most 5 MB"),
        ("list.xlsx", b"no workbook", "list.xlsx"),
        ("<img src=x onerror=alert(1)>.csv", b"a,b\n1,2\n", "<img src=x onerror=alert(1)>.csv"),
    ],
)
def test_a_file_that_is_no_list_is_refused_in_a_line(name, content, message):
    answer = client().post("/answer/jobs", params={"name": name}, content=content, headers={"origin": ADDRESS})
    assert answer.status_code == 422
    found = answer.json()
    assert found["workbook"] == "" and "<img" not in found["shown"] and ".." not in found["shown"]
    assert text_of(found["shown"]).startswith(message)


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1:8777", "http://127.0.0.1:80", None]
)
def test_a_list_that_another_page_sends_is_refused(origin):
    headers = {} if origin is None else {"origin": origin}
    answer = client().post("/answer/jobs?name=a.csv", content=LIST.encode(), headers=headers)
    assert (answer.status_code, answer.text) == (
        403,
        "this request came from another web page; open the printed address\n",
    )
    assert client().get("/answer/jobs").status_code == 405


def test_what_is_missing_is_said_before_anything_is_wrong():
    answer = client().get("/answer/pick", params={"refrigerant": "R448A", "load": "many"})
    assert (answer.status_code, text_of(answer.text)) == (200, "Still needed: SST (dew) or Box temperature.")
    assert "Still needed" in client().get("/pick").text


@pytest.mark.parametrize("name", QUESTIONS)
def test_no_field_names_a_file_and_every_field_is_a_parameter(name):
    parameters = set(inspect.signature(getattr(tablegen, name)).parameters)
    fields = {own.parameter for own in QUESTIONS[name].fields}
    assert not fields & NEVER
    # Refrigerants of the states are words, not a parameter each.
    assert fields - parameters == ({"refrigerant"} if name == "states" else set())
    for field in sorted(NEVER & parameters):
        answer = client().get(f"/answer/{name}", params=ASKED[name] | {field: "/etc/passwd"})
        assert (answer.status_code, problems(answer)) == (422, [f"'{field}' is not a field of this page"])


LOW_HEADS = [
    ({"low_head": "150"}, {"overrides": ["low_head.head_pressure=150 psig"]}),
    ({"low_head": "10", "low_head_unit": "bar_gauge"}, {"overrides": ["low_head.head_pressure=10 bar_gauge"]}),
    ({"low_head": "165 psia"}, {"overrides": ["low_head.head_pressure=165 psia"]}),
    (
        {"low_condensing": "70", "was_low_head": "170", "was_overrides": "losses.lift=10 ft"},
        {
            "overrides": ["low_head.condensing_temperature=70 degF", "low_head.basis=bubble"],
            "was_overrides": ["low_head.head_pressure=170 psig", "losses.lift=10 ft"],
        },
    ),
]


@pytest.mark.parametrize(("fields", "changes"), LOW_HEADS)
def test_the_low_head_of_either_installation_is_a_change_of_its_application(fields, changes):
    valve = {"sst": "24F", "load": "20 MBH", "application": "walk_in_medium", "was": "R404A", "refrigerant": "R448A"}
    expected = tablegen.retrofit("alder", "45", **valve, **changes, catalogue=CATALOGUE)
    answer = DEMO.ask(QUESTIONS["retrofit"], ASKED["retrofit"] | fields).answer
    same = [{k: v for k, v in own.record().items() if "changed" not in k} for own in (answer, expected)]
    assert same[0] == same[1] and answer.summary == expected.summary


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        (
            {"was_low_head": "150", "was_low_head_unit": "degF"},
            "Old low head pressure: '150 degF' is not allowed; a pressure takes one of the units psi_gauge",
        ),
        ({"low_condensing": "x"}, "Low head, condensing temperature (bubble): 'x' is not allowed; "),
        (
            {"low_head": "150", "low_condensing": "70"},
            "give either Low head pressure or Low head, condensing temperature (bubble)",
        ),
        (
            {"low_head": "150", "overrides": "low_head.head_pressure=160 psig"},
            "Changes to the application: 'low_head.head_pressure=160 psig' is not allowed; low_head.head_pressure is "
            "already set to a value",
        ),
        ({"low_head": "400"}, "walk_in_medium: the low head is not allowed; it means "),
        ({"overrides": "low_head.head_pressure=x"}, "Changes to the application: low_head.head_pressure: 'x' is not"),
    ],
)
def test_what_is_wrong_with_a_low_head_is_said_of_its_field(fields, message):
    answer = client().get("/answer/retrofit", params=ASKED["retrofit"] | fields)
    assert answer.status_code == 422
    [problem] = problems(answer)
    assert problem.startswith(message)


@pytest.mark.parametrize("address", ["/pick", "/answer/pick", "/files/desk.css", "/files/no.css", "/nowhere", "/"])
def test_every_response_says_what_a_browser_must_not_do_with_it(address):
    answer = client().get(address)
    policy = answer.headers["content-security-policy"].split("; ")
    assert policy[0] == "default-src 'none'" and "script-src 'self'" in policy and "frame-ancestors 'none'" in policy
    assert not any("unsafe" in part or "http" in part or "*" in part for part in policy)
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert "server" not in answer.headers


@pytest.mark.parametrize(
    "host", ["evil.example:8777", "127.0.0.1", "127.0.0.1:80", "localhost:8778", "", "0.0.0.0:8777"]
)
def test_another_name_for_this_computer_is_refused(host):
    answer = client().get("/answer/pick", params=PICK, headers={"host": host})
    assert answer.status_code == 403
    assert answer.text == "this address is not the desk's; use the one that was printed when it was started\n"
    assert client().get("/pick", headers={"host": "localhost:8777"}).status_code == 200


def test_from_another_computer_it_asks_for_the_token():
    access = Access.with_token()
    far = client(access=access, address="http://counter.example:8777")
    other = client(access=Access.with_token(), address="http://counter.example:8777")
    assert len(access.token) >= 32
    for address in ("/pick", "/answer/pick", "/files/desk.js", "/pick?token=", "/pick?token=wrong", "/nowhere"):
        answer = far.get(address)
        assert (answer.status_code, answer.text.count("\n")) == (403, 1)
        assert "token" in answer.text and access.token not in answer.text
    answer = far.get("/pick", params={"load": "20", "token": access.token})
    assert (answer.status_code, answer.headers["location"]) == (303, "/pick?load=20")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie
    assert far.get("/pick").status_code == 200
    assert other.get("/pick", headers={"cookie": answer.headers["set-cookie"].split(";")[0]}).status_code == 403
    # Two slashes would name another computer.
    assert far.get(f"http://counter.example:8777//evil.example/?token={access.token}").headers["location"] == (
        "/evil.example/"
    )


HOSTILE = """"><img src=x onerror="alert(1)">'</textarea></select><script>alert(1)</script>"""


@pytest.mark.parametrize("name", QUESTIONS)
def test_hostile_texts_stay_texts(name):
    for field in QUESTIONS[name].fields:
        for own in filter(None, (field.name, field.unit_name)):
            # The page with its answer.
            text = client().get(f"/{name}", params=ASKED[name] | {own: HOSTILE}).text
            assert "<img" not in text and "<script>" not in text and text.count("<script ") == 1
            assert text.count("</textarea>") == text.count("<textarea ")
            assert text.count("onerror=") == text.count("onerror=&quot;")
    text = client().get("/pick", params={'x"><script>': "1"}).text
    assert "<script>" not in text and 'x"><' not in text


def test_no_answer_names_a_folder_of_the_computer(tmp_path):
    folder = small_catalogue(tmp_path / "configs", ["alder"], {"R134a": ["R134a"]}, ["walk_in_medium"])
    desk = Desk(folder, None)
    asked = {"refrigerant": "R134a", "sst": "24", "load": "10", "family": "alder", "size": "45"}
    for name, own in QUESTIONS.items():
        values = {field: value for field, value in asked.items() if field in own.names}
        for address in (f"/{name}", f"/answer/{name}"):
            assert str(tmp_path) not in client(desk).get(address, params=values).text
    path = folder / "families" / "alder.yaml" if folder.is_dir() else folder.parent / "families" / "alder.yaml"
    path.write_text("family: [", encoding="utf-8")
    os.utime(path, ns=(1, 1))
    answer = client(desk).get("/answer/pick", params=asked | {"application": "walk_in_medium"} | {})
    assert answer.status_code == 422 and str(tmp_path) not in answer.text
    for address in ("/pick", "/jobs"):
        page = client(desk).get(address)
        assert page.status_code == 422 and page.text.startswith(f"families{os.sep}alder.yaml")
        assert str(tmp_path) not in page.text


def test_an_error_that_nobody_foresaw_is_one_line(monkeypatch, caplog):
    def fails(self, question, values):
        raise ZeroDivisionError(str(Path.home()))

    monkeypatch.setattr(Desk, "ask", fails)
    answer = client().get("/answer/pick", params=PICK)
    assert answer.status_code == 500
    assert problems(answer) == [
        "unexpected error: ZeroDivisionError; details are in the window where the program was started"
    ]
    assert "ZeroDivisionError" in caplog.text


def test_a_page_offers_what_the_catalogue_has():
    text = client().get("/retrofit").text
    catalogue = DEMO.catalogue
    for name in (*catalogue.refrigerants, *catalogue.applications, *catalogue.families):
        assert f'<option value="{html.escape(name)}">' in text
    assert json.dumps(text).count("http") == 0
    # The units of the catalogue come first, those of the desk or of the address before them.
    first = re.search(r'name="load_unit"[^>]*><option value="(.*?)"', text)[1]
    assert first == "kBtu/h"
    text = client(Desk(CATALOGUE, "SI")).get("/retrofit").text
    assert re.search(r'name="sst_unit"[^>]*><option value="(.*?)"', text)[1] == "degC"


def test_a_wholesaler_heads_its_desk_with_the_number_to_call(tmp_path):
    folder = copy_of_worked(tmp_path / "own").parent
    company = folder / "company.yaml"
    company.write_text(
        company.read_text(encoding="utf-8") + '\nwholesaler: {name: Tarnwick Supply & Co., telephone: "555 0100"}\n',
        encoding="utf-8",
    )
    text = client(Desk(folder)).get("/jobs").text
    assert '<p class="company">Tarnwick Supply &amp; Co., 555 0100</p>' in text
    assert "Tarnwick Supply &amp; Co." in text.split("</title>")[0]


def test_links_take_along_what_both_pages_ask_for():
    text = client().get("/pick", params=PICK | {"quantity": "3"}).text
    (address,) = re.findall(r'<a href="(/retrofit[^"]*)"', text)
    assert "refrigerant=R448A" in address and "load=20" in address and "quantity" not in address
    assert re.findall(r'aria-current="page">(.*?)<', text) == ["Pick a valve"]


def test_every_quantity_has_a_kind_and_every_page_its_needed_fields():
    for own in QUESTIONS.values():
        assert any(field.is_needed for field in own.fields)
        assert all(bool(field.quantity) == (field.kind is FieldKind.QUANTITY) for field in own.fields)
