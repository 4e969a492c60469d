"""The desk as a command: where it listens, what it says, how it ends."""

from __future__ import annotations

import contextlib
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator

import httpx
import pytest

import tablegen
from tablegen.cli.main import main
from tablegen.web.guard import Access
from tablegen.web.server import LOOPBACK, PORT, is_loopback, listening
from tests.demo import CATALOGUE
from tests.processes import environment
from tests.web.desks import PICK, served

ENDED = "stopped\n"


@contextlib.contextmanager
def command(*arguments: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """A process of the command with the address that it printed."""
    line = [sys.executable, "-m", "tablegen", "desk", "--no-browser", "--catalogue", str(CATALOGUE), *arguments]
    with subprocess.Popen(
        line, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8", env=environment()
    ) as process:
        try:
            printed = process.stdout.readline()
            found = re.fullmatch(r"(http\S+): ready; press Ctrl-C to stop\n", printed)
            assert found, (printed, process.poll())
            yield process, found[1]
        finally:
            process.kill()


def free_port() -> int:
    with listening(LOOPBACK, 0) as own:
        return own.getsockname()[1]


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="another process cannot be interrupted there")
def test_it_answers_until_interrupted_and_ends_without_a_word_of_python():
    port = free_port()
    with command("--port", str(port)) as (process, url):
        assert url == f"http://127.0.0.1:{port}/"
        with httpx.Client(base_url=url) as client:
            # One that stays connected does not hold it up.
            assert "First choice" in client.get("/answer/pick", params=PICK).text
            process.send_signal(signal.SIGINT)
            shown, errors = process.communicate(timeout=20)
        assert (shown, errors, process.returncode) == (ENDED, "", 0)


@pytest.mark.slow
def test_for_other_computers_it_prints_an_address_with_a_token():
    port = free_port()
    with command("--host", "0.0.0.0", "--port", str(port)) as (_, url):
        name, token = re.fullmatch(rf"http://(.+):{port}/\?token=(\S+)", url).groups()
        assert name != "0.0.0.0" and len(token) >= 32
        with httpx.Client(base_url=f"http://127.0.0.1:{port}", follow_redirects=True) as client:
            assert client.get("/pick").status_code == 403
            page = client.get("/", params={"token": token})
            assert page.status_code == 200 and str(page.url) == f"http://127.0.0.1:{port}/pick"
            assert "First choice" in client.get("/answer/pick", params=PICK).text


def test_a_port_that_is_taken_is_named_or_passed_by(capsys):
    with socket.create_server((LOOPBACK, 0)) as other:
        port = other.getsockname()[1]
        assert main(["desk", "--port", str(port), "--catalogue", str(CATALOGUE)]) == 2
        error = capsys.readouterr().err
        assert error.startswith(f"--port: nothing can listen on 127.0.0.1, port {port}: ") and error.count("\n") == 1
    with contextlib.ExitStack() as stack:
        with contextlib.suppress(OSError):
            stack.enter_context(socket.create_server((LOOPBACK, PORT)))
        found = stack.enter_context(listening(LOOPBACK, None)).getsockname()[1]
        assert PORT < found < PORT + 20


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("--port", "0"), "--port: 0 is not allowed; it must be at least 1 and at most 65535"),
        (("--port", "70000"), "--port: 70000 is not allowed"),
        (("--host", "no host", "--port", "8999"), "--host: 'no host' is not allowed; "),
        # For documentation alone (RFC 5737), so that no computer has it.
        (("--host", "192.0.2.1"), "--host: '192.0.2.1' is not allowed; "),
        (("--catalogue", "nowhere.yaml"), "nowhere.yaml: the file does not exist; start a catalogue with"),
    ],
)
def test_bad_input_is_one_line(arguments, message, capsys):
    own = () if "--catalogue" in arguments else ("--catalogue", str(CATALOGUE))
    assert main(["desk", "--no-browser", *own, *arguments]) == 2
    error = capsys.readouterr().err
    assert error.startswith(message) and error.count("\n") == 1


def test_only_addresses_of_this_computer_alone_go_without_a_token():
    own = ("127.0.0.1", "127.1.2.3", "::1", "localhost")
    assert all(map(is_loopback, own))
    assert not any(map(is_loopback, ("0.0.0.0", "::", "192.168.1.5", "counter.example", "", "localhost.example")))


def test_each_address_of_this_computer_answers_by_its_own_name():
    for host in ("127.0.0.2", "::1", "localhost"):
        named = f"[{host}]" if ":" in host else host
        assert {f"{named}:8777", "localhost:8777"} <= Access.local(8777, host).hosts
        assert "evil.example:8777" not in Access.local(8777, host).hosts


def test_units_are_checked_before_anything_listens():
    with pytest.raises(tablegen.RequestError, match="a unit system must be one of IP, SI"):
        tablegen.desk(units="US", browser=False)


SENT = {
    "a client that goes away": (b"/answer/jobs?name=a.csv", b"Content-Length: 100000\r\n\r\nabc", b""),
    "a bad chunk": (b"/answer/jobs?name=a.csv", b"Transfer-Encoding: chunked\r\n\r\nzz\r\n", b"HTTP/1.1 400 "),
    "a bad chunk that no answer reads": (b"/none", b"Transfer-Encoding: chunked\r\n\r\nzz\r\n", b"HTTP/1.1 400 "),
}


def test_a_broken_request_leaves_no_traceback_and_the_desk_answers_on(caplog):
    with served() as url:
        port = int(url.rpartition(":")[2])
        for name, (path, body, answer) in SENT.items():
            with socket.create_connection((LOOPBACK, port), timeout=10) as client:
                head = b"POST %s HTTP/1.1\r\nHost: LOCALHOST:%d\r\nOrigin: http://LocalHost:%d\r\n" % (path, port, port)
                client.sendall(head + body)
                if answer:
                    assert client.recv(100).startswith(answer), name
            assert httpx.get(f"{url}/files/desk.css").status_code == 200, name
        # A broken part after the whole of an answer.
        with socket.create_connection((LOOPBACK, port), timeout=10) as client:
            client.sendall(b"POST /none HTTP/1.1\r\nHost: localhost:%d\r\nTransfer-Encoding: chunked\r\n\r\n" % port)
            assert client.recv(100).startswith(b"HTTP/1.1 403 ")
            client.sendall(b"zz\r\n")
            assert httpx.get(f"{url}/files/desk.css").status_code == 200
    assert all(record.exc_info is None for record in caplog.records), caplog.text
